"""An account of a contractor with its owner, and what sites they keep."""

from datetime import UTC, datetime

import pytest
from django.contrib.auth.models import User

from maintenance.models import Account
from maintenance.services.inventory.rows import Act
from maintenance.services.inventory.store import store_site
from maintenance.services.people.accept import add_member, make_user
from tests.services.inventory.files import example, read

PASSWORD = "seven wet valves in a row"
NOW = datetime(2026, 5, 4, 9, 0, tzinfo=UTC)


def person(account: Account, name: str, role: str) -> User:
    """Make someone who signs in, and a member."""
    user = make_user(f"{name.lower()}@firm.example", password=PASSWORD)
    add_member(account, user, name=name, role=role, act=Act("", NOW))
    return user


@pytest.fixture
def firm(db: None) -> Account:
    account = Account.objects.create(key="firm", name="The firm", kind="contractor")
    for key in ("north", "south"):
        file = example("example-lateral") | {"id": key, "name": f"Garden {key}"}
        store_site(read(file), account=account, now=NOW)
    return account


@pytest.fixture
def owner(firm: Account) -> User:
    return person(firm, "Olga", "owner")

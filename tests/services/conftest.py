"""The three standing people: the owner, a colleague of the same account, a stranger."""

import pytest

from maintenance.models import Account
from maintenance.services.accounts import local_account


@pytest.fixture
def owner(db) -> Account:
    return local_account()


@pytest.fixture
def colleague(owner) -> Account:
    """The same account as read by another request."""
    return Account.objects.get(pk=owner.pk)


@pytest.fixture
def stranger(db) -> Account:
    return Account.objects.create(key="stranger", name="Someone else")

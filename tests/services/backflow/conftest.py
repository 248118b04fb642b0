"""The standing people, with a site that has an assembly of each kind."""

import pytest

from maintenance.models import Account
from maintenance.services.accounts import local_account
from tests.services.backflow.field_tests import keep_kit, keep_site


@pytest.fixture
def office(db) -> Account:
    account = local_account()
    keep_site(account)
    keep_kit(account)
    return account


@pytest.fixture
def stranger(db) -> Account:
    return Account.objects.create(key="stranger", name="Someone else")

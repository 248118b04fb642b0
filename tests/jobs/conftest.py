"""The account whose jobs are done."""

import pytest

from maintenance.models import Account
from maintenance.services.accounts import local_account


@pytest.fixture
def local(db) -> Account:
    return local_account()

import pytest

from maintenance.models import Account
from maintenance.services.accounts import account_named, local_account
from maintenance.services.errors import NotFoundError

pytestmark = pytest.mark.django_db


def test_the_local_account_is_made_once():
    assert local_account() == local_account() == account_named("local")
    assert Account.objects.count() == 1


def test_an_account_is_found_by_its_name():
    other = Account.objects.create(key="other", name="Other")
    assert account_named("other") == other


def test_no_account_is_made_by_asking_for_it():
    with pytest.raises(NotFoundError, match='no account "nobody"'):
        account_named("nobody")
    assert not Account.objects.exists()

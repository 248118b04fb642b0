"""Two at the same moment: one is stored, the other is told."""

import threading

import pytest
from django.db import connection

from maintenance.models.sites import Site as SiteRow
from maintenance.services.accounts import local_account
from maintenance.services.errors import ConflictError
from maintenance.services.inventory.queries import site
from maintenance.services.inventory.store import store_site
from tests.services.inventory.files import SPRING, SUMMER, read, rich_file

pytestmark = pytest.mark.django_db(transaction=True)


def store_at_once(values, account, **options):
    """Store each value in a thread of its own and return what each was told."""
    start = threading.Barrier(len(values))
    told: list[object] = []

    def run(value):
        try:
            start.wait(timeout=30)
            told.append(store_site(value, account=account, now=SUMMER, **options))
        except ConflictError as refusal:
            told.append(refusal)
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=[value]) for value in values]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    return told


def named(*names):
    return [read(rich_file() | {"name": name}) for name in names]


def test_of_two_changes_to_one_version_one_wins():
    account = local_account()
    store_site(read(rich_file()), account=account, now=SPRING)
    told = store_at_once(named("One", "Two"), account, version=1)
    refused = [answer for answer in told if isinstance(answer, ConflictError)]
    assert (len(told), len(refused)) == (2, 1)
    assert SiteRow.objects.get().version == 2
    assert site(account, key="example-lateral").name in {"One", "Two"}


def test_of_two_new_sites_of_one_id_one_wins():
    account = local_account()
    told = store_at_once(named("One", "Two"), account, version=0)
    refused = [answer for answer in told if isinstance(answer, ConflictError)]
    assert (len(told), len(refused)) == (2, 1)
    kept = SiteRow.objects.get()
    assert (kept.version, kept.history.count()) == (1, 1)

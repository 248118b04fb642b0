"""A change is made on a version: whoever is faster owns it."""

import pytest

from maintenance.models.sites import Site as SiteRow
from maintenance.services.errors import ConflictError
from maintenance.services.inventory import plan as plan_module, store as store_module
from maintenance.services.inventory.queries import site, site_version
from maintenance.services.inventory.store import store_site
from tests.services.inventory.files import (
    SPRING,
    SUMMER,
    card_file,
    read,
    rich_file,
)


def put(file, account, now=SPRING, **options):
    return store_site(read(file), account=account, now=now, **options)


def test_a_stale_version_is_refused(owner, colleague):
    put(rich_file(), owner)
    assert site_version(owner, key="example-lateral") == 1
    theirs = rich_file() | {"name": "Theirs"}
    mine = rich_file() | {"name": "Mine"}
    assert put(theirs, colleague, now=SUMMER, version=1).version == 2
    with pytest.raises(ConflictError, match="changed by someone else"):
        put(mine, owner, now=SUMMER, version=1)
    assert site(owner, key="example-lateral").name == "Theirs"
    assert put(mine, owner, now=SUMMER, version=2).version == 3


def test_a_stale_version_is_refused_even_if_nothing_would_change(owner):
    put(rich_file(), owner)
    put(rich_file() | {"name": "X"}, owner)
    with pytest.raises(ConflictError):
        put(rich_file() | {"name": "X"}, owner, version=1)


def test_version_zero_asks_for_a_new_site(owner):
    assert put(rich_file(), owner, version=0).created
    with pytest.raises(ConflictError):
        put(rich_file(), owner, version=0)
    with pytest.raises(ConflictError):
        put(card_file(), owner, version=1)
    assert SiteRow.objects.count() == 1


def test_whoever_is_faster_owns_the_change(owner, monkeypatch):
    put(rich_file(), owner)

    def plan_while_another_stores(value, records, row):
        SiteRow.objects.filter(pk=row.pk).update(version=row.version + 1)
        return plan_module.plan_site(value, records, row)

    monkeypatch.setattr(store_module, "plan_site", plan_while_another_stores)
    with pytest.raises(ConflictError):
        put(rich_file() | {"name": "X"}, owner, now=SUMMER)
    kept = SiteRow.objects.get()
    assert kept.history.count() == 1
    assert kept.name != "X"

"""The demonstration goes away whole, and nothing else with it."""

import pytest

from maintenance.models import (
    Compressor,
    Controller,
    Device,
    Link,
    Point,
    Site,
    Zone,
)
from maintenance.services.errors import ConflictError
from maintenance.services.inventory.queries import compressors, site, sites
from maintenance.services.inventory.store import (
    remove_demo,
    store_compressor,
    store_site,
)
from tests.services.inventory.files import (
    SPRING,
    SUMMER,
    card_file,
    example,
    read,
    read_machine,
    rich_file,
)

TABLES = (Site, Point, Link, Zone, Controller, Device, Compressor)


def counts():
    return [(table.objects.count(), table.history.count()) for table in TABLES]


def put_demo(account):
    store_site(read(rich_file()), account=account, now=SPRING, demo=True)
    machine = read_machine(example("compressor-25"))
    store_compressor(machine, account=account, now=SPRING, demo=True)


def put_own(account):
    store_site(read(card_file()), account=account, now=SPRING)
    store_site(read(example("site-a")), account=account, now=SPRING)
    machine = read_machine(example("compressor-80"))
    store_compressor(machine, account=account, now=SPRING)


def test_the_demonstration_leaves_nothing_behind_and_takes_nothing_along(owner):
    put_own(owner)
    before = counts()
    put_demo(owner)
    assert [line.key for line in sites(owner) if line.demo] == ["example-lateral"]
    assert set(remove_demo(owner)) == {"example-lateral", "shop-25"}
    assert counts() == before
    assert [machine.id for machine in compressors(owner)] == ["towed-80"]
    assert remove_demo(owner) == ()


def test_another_account_keeps_its_demonstration(owner, stranger):
    put_demo(owner)
    put_demo(stranger)
    remove_demo(owner)
    assert site(stranger, key="example-lateral") == read(rich_file())


def test_a_changed_demonstration_still_goes_away(owner):
    put_demo(owner)
    changed = rich_file() | {"name": "Tried out"}
    store_site(read(changed), account=owner, now=SUMMER)
    assert "example-lateral" in remove_demo(owner)


def test_the_demonstration_never_overwrites_what_a_person_entered(owner):
    own = rich_file() | {"name": "Mine"}
    store_site(read(own), account=owner, now=SPRING)
    with pytest.raises(ConflictError, match="of your own making"):
        put_demo(owner)
    assert site(owner, key="example-lateral").name == "Mine"
    assert remove_demo(owner) == ()

"""Compressors are kept by the account in the same way as sites."""

import pytest

from maintenance.models import Compressor
from maintenance.services.errors import ConflictError, NotFoundError
from maintenance.services.inventory.queries import (
    compressor,
    compressor_version,
    compressors,
    retired_compressors,
)
from maintenance.services.inventory.store import (
    restore_compressor,
    retire_compressor,
    store_compressor,
)
from tests.services.inventory.files import SPRING, SUMMER, example, read_machine

NAMES = ("compressor-80", "compressor-small-5", "compressor-25")


def put(file, account, now=SPRING, **options):
    return store_compressor(read_machine(file), account=account, now=now, **options)


def test_compressors_come_back_smallest_first(owner):
    for name in NAMES:
        assert put(example(name), owner).created
    assert [machine.id for machine in compressors(owner)] == [
        "small-5",
        "shop-25",
        "towed-80",
    ]
    kept = compressor(owner, key="shop-25")
    assert kept == read_machine(example("compressor-25"))


def test_si_stands_beside_the_text(owner):
    put(example("compressor-25"), owner)
    row = Compressor.objects.get()
    assert row.free_air_m3_per_s == pytest.approx(25 * 0.3048**3 / 60)
    assert row.receiver_m3 == pytest.approx(30 * 231 * 0.0254**3)
    assert row.si["hose.length"] == 15.0


def test_the_same_compressor_twice_changes_nothing(owner):
    put(example("compressor-25"), owner)
    again = put(example("compressor-25"), owner, now=SUMMER)
    assert (again.created, again.changed, again.version) == (False, False, 1)
    assert Compressor.history.count() == 1


def test_a_change_is_claimed_by_version(owner):
    put(example("compressor-25"), owner, version=0)
    changed = example("compressor-25") | {"label": "in the shop"}
    assert put(changed, owner, now=SUMMER, version=1, actor="Kim").version == 2
    assert compressor_version(owner, key="shop-25") == 2
    with pytest.raises(ConflictError, match='compressor "shop-25" was changed'):
        put(example("compressor-25"), owner, version=1)
    assert Compressor.objects.get().label == "in the shop"
    assert [entry.actor for entry in Compressor.history.all()] == ["Kim", ""]


def test_a_retired_compressor_is_kept_and_can_come_back(owner):
    put(example("compressor-25"), owner)
    retire_compressor(owner, key="shop-25", now=SUMMER)
    assert compressors(owner) == []
    assert [machine.id for machine in retired_compressors(owner)] == ["shop-25"]
    assert compressor(owner, key="shop-25").id == "shop-25"
    restore_compressor(owner, key="shop-25", now=SUMMER)
    assert [machine.id for machine in compressors(owner)] == ["shop-25"]
    retire_compressor(owner, key="shop-25", now=SUMMER)
    assert put(example("compressor-25"), owner).changed
    assert retired_compressors(owner) == []


def test_a_stranger_neither_sees_nor_changes_a_compressor(owner, stranger):
    put(example("compressor-25"), owner)
    assert compressors(stranger) == []
    for ask in (
        lambda: compressor(stranger, key="shop-25"),
        lambda: compressor_version(stranger, key="shop-25"),
        lambda: retire_compressor(stranger, key="shop-25", now=SUMMER),
        lambda: restore_compressor(stranger, key="shop-25", now=SUMMER),
    ):
        with pytest.raises(NotFoundError, match='no compressor "shop-25" here'):
            ask()
    assert len(compressors(owner)) == 1

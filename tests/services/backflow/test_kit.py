"""Testers and gauges: added, changed under a version, retired and restored."""

from datetime import date
from typing import Any

import pytest

from maintenance.models import Gauge, Tester
from maintenance.services.backflow.kit import (
    StatedGauge,
    StatedTester,
    all_gauges,
    all_testers,
    get_gauge,
    get_tester,
    set_gauge_retired,
    set_tester_retired,
    store_gauge,
    store_tester,
)
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from tests.services.backflow.register_cases import NOON

HOW: dict[str, Any] = {"now": NOON, "actor": "Bo"}
ADA = StatedTester(name="Ada Finch", certificate="BT-1207", ends=date(2027, 4, 30))
LENT = StatedGauge(serial="G-9", make="Fivegate", calibrated=date(2026, 2, 1))


def test_a_tester_is_added_changed_and_kept_with_its_history(office):
    pk = store_tester(office, stated=StatedTester(name=" Cy  Moss "), **HOW)
    assert get_tester(office, kit_id=pk).name == "Cy Moss"
    told = StatedTester(name="Cy Moss", certificate="C-1", issued=date(2026, 1, 1))
    assert store_tester(office, stated=told, kit_id=pk, version=1, **HOW) == pk
    store_tester(office, stated=told, kit_id=pk, version=2, **HOW)
    row = get_tester(office, kit_id=pk)
    assert (row.version, row.certificate, row.history.count()) == (2, "C-1", 2)


def test_a_gauge_is_added_and_its_calibration_renewed(office):
    pk = store_gauge(office, stated=LENT, **HOW)
    again = StatedGauge(serial="G-9", make="Fivegate", calibrated=date(2026, 11, 1))
    store_gauge(office, stated=again, kit_id=pk, version=1, **HOW)
    assert get_gauge(office, kit_id=pk).calibrated == date(2026, 11, 1)


@pytest.mark.parametrize("version", [0, 2])
def test_what_someone_else_changed_is_not_overwritten(office, version):
    pk = store_gauge(office, stated=LENT, **HOW)
    with pytest.raises(ConflictError, match="changed by someone else"):
        store_gauge(
            office, stated=StatedGauge(serial="X"), kit_id=pk, version=version, **HOW
        )
    assert get_gauge(office, kit_id=pk).serial == "G-9"


def test_there_are_no_two_alike(office):
    with pytest.raises(ConflictError, match="one like"):
        store_tester(office, stated=ADA, **HOW)
    store_gauge(office, stated=LENT, **HOW)
    with pytest.raises(ConflictError, match="one like"):
        store_gauge(office, stated=LENT, **HOW)
    assert (Tester.objects.count(), Gauge.objects.count()) == (1, 2)


@pytest.mark.parametrize(
    ("stated", "why"),
    [
        (StatedTester(name="  "), "name"),
        (
            StatedTester(name="A", issued=date(2026, 1, 2), ends=date(2026, 1, 1)),
            "before it begins",
        ),
        (StatedTester(name="A\x00"), "cannot be stored"),
        (StatedTester(name="A" * 201), "most 200"),
    ],
)
def test_what_cannot_be_is_refused(office, stated, why):
    with pytest.raises(ServiceError, match=why):
        store_tester(office, stated=stated, **HOW)
    assert Tester.objects.count() == 1
    with pytest.raises(ServiceError, match="serial"):
        store_gauge(office, stated=StatedGauge(serial=" "), **HOW)


def test_retired_ones_stand_last_and_come_back(office):
    (ada,), (first,) = all_testers(office), all_gauges(office)
    store_tester(office, stated=StatedTester(name="Zoe Lark"), **HOW)
    set_tester_retired(office, kit_id=ada.pk, retired=True, **HOW)
    set_tester_retired(office, kit_id=ada.pk, retired=True, **HOW)
    assert [row.name for row in all_testers(office)] == ["Zoe Lark", "Ada Finch"]
    assert get_tester(office, kit_id=ada.pk).version == 2
    set_tester_retired(office, kit_id=ada.pk, retired=False, **HOW)
    assert get_tester(office, kit_id=ada.pk).retired_at is None
    set_gauge_retired(office, kit_id=first.pk, retired=True, **HOW)
    assert get_gauge(office, kit_id=first.pk).retired_at == NOON


def test_a_strangers_kit_is_not_found(office, stranger):
    (ada,), (first,) = all_testers(office), all_gauges(office)
    assert all_testers(stranger) == []
    assert all_gauges(stranger) == []
    with pytest.raises(NotFoundError):
        get_tester(stranger, kit_id=ada.pk)
    with pytest.raises(NotFoundError):
        store_tester(stranger, stated=ADA, kit_id=ada.pk, version=1, **HOW)
    with pytest.raises(NotFoundError):
        set_gauge_retired(stranger, kit_id=first.pk, retired=True, **HOW)

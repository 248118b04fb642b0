"""Controllers: suspended first, off after the last zone, bypasses undone last of all."""

import pytest

from tests.engine.network.small_sites import link, point
from tests.engine.procedure.shutdown.lists import (
    at,
    compiled,
    larkmoor_list,
    larkmoor_sheet,
    small_garden,
    step_of,
    words,
)


def with_controller(**keys):
    return small_garden(zones=("1", "2"), controllers=[{"id": "K", **keys}])


def test_programmes_are_suspended_before_any_water_is_shut():
    procedure = larkmoor_list()
    first_shut = at(procedure, "close V1")
    for controller in ("K-CELLAR", "K-PUMP"):
        step = step_of(procedure, f"suspend {controller}")
        assert at(procedure, step.key) < first_shut
        assert "remote starts" in step.text


def test_a_controller_is_off_only_after_the_last_zone_and_every_station_once_more():
    procedure = larkmoor_list()
    last = max(n for n, s in enumerate(procedure.steps) if s.act == "blow")
    for controller in ("K-CELLAR", "K-PUMP"):
        run, off = (at(procedure, f"{what} {controller}") for what in ("run", "off"))
        assert last < run < off
        assert "not unplug" in procedure.steps[off].text
        assert at(procedure, f"bypass undone {controller}") > off


def test_only_the_sensors_that_are_there_are_bypassed_and_undone():
    procedure = larkmoor_list()
    assert "freeze" in step_of(procedure, "bypass K-CELLAR").text
    assert "flow" in step_of(procedure, "bypass K-CELLAR").text
    assert "freeze" not in step_of(procedure, "bypass K-PUMP").text
    plain = compiled(with_controller(wiring="common"))
    assert "ypass" not in words(plain)


def test_the_station_time_is_above_the_longest_stretch_of_air():
    rows = [
        row
        for row in larkmoor_sheet().rows
        if row.row.kind == "zone" and row.row.zone not in ("10", "23")
    ]
    fronts = [row.displacement.time_s or 0.0 for row in rows if row.displacement]
    assert len(fronts) == len(rows)
    passes = [row.passes[0].on_s for row in rows]
    longest = max(map(sum, zip(fronts, passes, strict=True)))
    for controller in ("K-CELLAR", "K-PUMP"):
        minutes = int(
            step_of(larkmoor_list(), f"station time {controller}").to.split()[0]
        )
        assert longest < minutes * 60 <= longest + 120


@pytest.mark.parametrize(
    ("wiring", "told"),
    [
        ("two_wire", "decoders"),
        ("battery", "batteries"),
        ("hydraulic", "thin tubes"),
    ],
)
def test_what_a_wiring_asks_for_is_said_and_only_there(wiring, told):
    assert told in words(compiled(with_controller(wiring=wiring)))
    assert told not in words(compiled(with_controller(wiring="common")))


def test_hydraulic_valves_are_opened_by_hand_and_their_tubes_drained():
    procedure = compiled(with_controller(wiring="hydraulic"))
    assert "Start station" not in words(procedure)
    assert "by hand" in step_of(procedure, "open V1 for air").text
    assert "Drain the thin tubes" in step_of(procedure, "run K").text


def test_without_a_controller_nothing_is_said_of_one():
    procedure = compiled(small_garden())
    assert "ontroller" not in words(procedure)
    assert "by hand" in step_of(procedure, "open V1 for air").text


def test_a_master_valve_shuts_with_the_last_controller():
    master = (
        [point("J0")],
        [link("MV", "master_valve", "J1", "J0"), link("F", "fitting", "J0", "J9")],
    )
    site = small_garden(
        ([point("J9")], []), master, controllers=[{"id": "K", "wiring": "common"}]
    )
    changes = step_of(compiled(site), "off K").changes
    assert ("MV", "closed") in [(c.element, c.position) for c in changes]

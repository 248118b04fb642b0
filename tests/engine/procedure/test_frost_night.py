"""A frost night: held, parted, drained, and taken back in reverse."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import assume, given, settings

from maintenance.engine.errors import InputError
from maintenance.engine.network.drain_states import drain_states
from maintenance.engine.network.drainage import find_drainage
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.checker import CheckedProcedure, check_procedure
from maintenance.engine.procedure.frost_night import (
    HOURS_BEFORE_LOW,
    compile_frost_night,
)
from maintenance.engine.procedure.frost_undo import compile_frost_undo
from maintenance.engine.procedure.levels import drainage_positions
from maintenance.engine.procedure.step import Procedure
from maintenance.engine.site import Backflow, Site
from tests.engine.procedure.gardens import garden
from tests.engine.procedure.shutdown.random_sites import small_sites
from tests.engine.procedure.spring_sites import spring_sites
from tests.fixtures.demo import larkmoor

few = settings(max_examples=40, deadline=None)
EVENING = datetime(2026, 10, 3, 19, 0, tzinfo=UTC)
DAWN = datetime(2026, 10, 4, 6, 0, tzinfo=UTC)


def both_cards(site: Site) -> tuple[CheckedProcedure, CheckedProcedure]:
    night = compile_frost_night(site)
    held = check_procedure(site, night)
    undo = compile_frost_undo(site, night=night)
    return held, check_procedure(site, undo, start=held.end)


def last_moves(procedure: Procedure, left: dict[str, str]) -> list[str]:
    order: dict[str, None] = {}
    for step in procedure.steps:
        for change in step.changes:
            order.pop(change.element, None)
            order[change.element] = None
    return [key for key in order if key in left]


def first_moves(procedure: Procedure, left: dict[str, str]) -> list[str]:
    moved = (c.element for step in procedure.steps for c in step.changes)
    return [key for key in dict.fromkeys(moved) if key in left]


@few
@given(spring_sites())
def test_the_undo_is_the_reverse_of_the_night_and_both_break_no_rule(site):
    night, undo = both_cards(site)
    assert [c.text for c in (*night.broken, *undo.broken)] == []
    before = night.start.standing.positions
    after = night.end.standing.positions
    assert undo.end.standing.positions == before
    left = {key: word for key, word in after.items() if word != before[key]}
    back = first_moves(undo.procedure, left)
    elements = night.start.standing.piping.elements
    held = [key for key in back if elements[key].kind == "controller"]
    assert back[len(back) - len(held) :] == held
    reverse = list(reversed(last_moves(night.procedure, left)))
    assert back == sorted(reverse, key=lambda key: key in held)


@few
@given(small_sites())
def test_any_site_that_is_right_in_summer_is_right_again_in_the_morning(site):
    night, undo = both_cards(site)
    # A summer that breaks a rule by itself is told as found, and comes back so.
    assume(not any(check.at_step == 0 for check in night.checks))
    assert [c.text for c in (*night.broken, *undo.broken)] == []
    assert undo.end.standing.positions == night.start.standing.positions


@few
@given(spring_sites())
def test_nothing_stands_open_while_a_source_presses_on_it(site):
    night, _ = both_cards(site)
    standing = night.end.standing
    for cell, openings in standing.open.items():
        if any(opening.element for opening in openings):
            assert standing.sources_at(cell) == ()


def test_larkmoors_exposed_pipes_hold_no_water_that_night():
    site = larkmoor()
    night, _ = both_cards(site)
    graph = build_graph(site)
    # The zone that lets the water down runs until its heads stop, then is shut.
    lowered = {
        change.element: change.position
        for step in night.procedure.steps
        if step.act == "relieve"
        for change in step.changes
    }
    positions = drainage_positions(graph, {**night.end.standing.positions, **lowered})
    states = drain_states(graph, positions)
    waters = {each.link: each for each in find_drainage(graph, states).links}
    exposed = [k for k, bore in graph.bores.items() if bore.placement == "above_ground"]
    assert exposed == ["PK5", "PA1"]
    for key in exposed:
        assert waters[key].wet_length_m == pytest.approx(0.0, abs=1e-6)
        assert waters[key].air_locked_length_m == pytest.approx(0.0, abs=1e-6)


def test_the_house_and_its_pump_are_left_alone():
    night, _ = both_cards(larkmoor())
    moved = {c.element for step in night.procedure.steps for c in step.changes}
    assert not {"PU", "V2"} & moved
    assert night.end.standing.sources_at(night.end.standing.piping.users["HOUSE"])


def test_controllers_and_pumps_are_held_before_anything_is_shut():
    site = garden(well=False)
    steps = compile_frost_night(site).steps
    assert (steps[0].act, steps[0].on, steps[0].to) == (
        "set",
        "controller:K",
        "suspended",
    )
    assert steps[1].act == "close"
    last = compile_frost_undo(site).steps[-1]
    assert (last.on, last.to) == ("controller:K", "on")


def test_the_card_says_tools_where_the_water_runs_and_by_when():
    card = compile_frost_night(larkmoor(), low_at=DAWN, now=EVENING)
    minutes = sum(step.minutes for step in card.steps)
    done = DAWN - timedelta(hours=HOURS_BEFORE_LOW)
    begin = done - timedelta(minutes=minutes)
    clock, tools = card.steps[0].cautions[:2]
    assert f"Be done by {done:%H:%M}" in clock
    assert f"begin by {begin:%H:%M}" in clock
    assert "screwdriver" in tools
    drain = next(step for step in card.steps if step.on == "D0")
    assert "the water runs out there" in drain.text
    assert "Cellar drain" in drain.text


def test_without_a_forecast_no_time_of_day_is_told():
    card = compile_frost_night(larkmoor())
    assert not any("Be done by" in text for s in card.steps for text in s.cautions)


def test_a_low_that_is_past_is_refused_in_a_sentence():
    with pytest.raises(InputError, match="give the time of the coming night"):
        compile_frost_night(larkmoor(), low_at=EVENING, now=DAWN)


def test_what_stays_open_is_named_with_its_reason():
    card = compile_frost_night(larkmoor())
    stays = {each.id: each.why for each in card.stays_open}
    assert set(stays) == {"D0", "B1/shutoff_1", "B1/shutoff_2", "B1/test_cocks"}
    assert all(why.endswith(".") for why in stays.values())


def test_an_anti_siphon_valve_empties_with_the_water_off():
    steps = compile_frost_night(larkmoor()).steps
    shut = next(n for n, s in enumerate(steps) if s.on == "V1")
    emptied = next(n for n, s in enumerate(steps) if s.on == "Z10")
    assert shut < emptied
    assert steps[emptied].act == "run"


def test_a_site_with_nothing_in_the_open_only_holds_its_controllers():
    site = garden(well=False)
    links = tuple(
        replace(link, placement="buried") if isinstance(link, Backflow) else link
        for link in site.links
    )
    card = compile_frost_night(replace(site, links=links))
    assert [step.on for step in card.steps] == ["controller:K"]
    assert [w.code for w in card.warnings] == ["nothing_exposed"]


def test_a_place_that_is_not_recorded_is_taken_as_open_air_and_said_so():
    card = compile_frost_night(garden(well=False))
    assert [w.about for w in card.warnings if w.code == "assumed_exposed"] == [("B1",)]

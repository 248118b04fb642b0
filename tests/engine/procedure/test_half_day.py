"""Half a day left: the most exposed first, no rule broken, no minute too many."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.errors import InputError
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.checker import check_procedure
from maintenance.engine.procedure.exposure_order import (
    BRASS,
    LATERALS,
    MAINS,
    ORDER,
    Exposures,
    place_of,
)
from maintenance.engine.procedure.half_day import half_a_day
from maintenance.engine.procedure.piping import lay_piping
from maintenance.engine.procedure.rules.registry import RULES
from maintenance.engine.procedure.shutdown.compile import compile_shutdown
from maintenance.engine.procedure.startup.compiler import compile_startup
from maintenance.engine.procedure.step import Procedure, Step
from maintenance.exchange.compressor_file import read_compressor
from tests.engine.procedure.gardens import garden, procedure, shutdown
from tests.fixtures.demo import DEMO, larkmoor

RUNNING = tuple(replace(rule, at_end=None) for rule in RULES)


def timed(minutes: float = 5.0) -> Procedure:
    """The garden's shutdown, every step of it as long."""
    steps = [replace(step, minutes=minutes) for step in shutdown(well=False)]
    return procedure("shutdown", steps)


def town_garden():
    return garden(well=False)


@pytest.fixture(scope="module")
def estate():
    site = larkmoor()
    machine = read_compressor((DEMO / "compressors" / "towed-185.json").read_text())
    return site, compile_shutdown(site, sheet=make_sheet(site, machine))


@settings(max_examples=25, deadline=None)
@given(
    hours=st.floats(0.1, 4.0),
    people=st.integers(1, 3),
    frost_tonight=st.booleans(),
)
def test_the_chosen_steps_break_no_rule_and_take_no_more_than_the_minutes(
    hours, people, frost_tonight
):
    site = town_garden()
    half = half_a_day(
        site, timed(), hours=hours, people=people, frost_tonight=frost_tonight
    )
    checked = check_procedure(site, half.procedure, rules=RUNNING)
    assert checked.broken == ()
    assert half.minutes_available == pytest.approx(hours * 60.0 * people)
    assert half.minutes_used == sum(step.minutes for step in half.procedure.steps)
    assert half.minutes_used <= half.minutes_available + 1e-6
    assert half.clock_minutes <= hours * 60.0 + 1e-6


@pytest.mark.parametrize("hours", [1.0, 3.0])
@pytest.mark.parametrize("frost_tonight", [True, False])
def test_larkmoors_half_day_breaks_no_rule_and_keeps_the_order(
    estate, hours, frost_tonight
):
    site, whole = estate
    half = half_a_day(site, whole, hours=hours, people=1, frost_tonight=frost_tonight)
    assert check_procedure(site, half.procedure, rules=RUNNING).broken == ()
    assert half.minutes_used <= hours * 60.0 + 1e-6
    keys = [step.key for step in whole.steps]
    places = [keys.index(step.key) for step in half.procedure.steps]
    assert places == sorted(places)
    assert len(half.first) + len(half.waits) == len(whole.steps)


def test_with_frost_tonight_brass_in_the_open_comes_before_any_lateral(estate):
    site, whole = estate
    half = half_a_day(site, whole, hours=1.0, people=1, frost_tonight=True)
    done = {each.exposure for each in half.first}
    assert BRASS in done
    assert not {LATERALS, MAINS} & done
    opened = {c.element for step in half.procedure.steps for c in step.changes}
    assert {"B1/test_cocks", "B1/shutoff_1", "B1/shutoff_2", "D0"} <= opened
    assert not any(each.exposure == BRASS for each in half.waits)


def test_a_step_that_a_chosen_one_needs_comes_along(estate):
    site, whole = estate
    half = half_a_day(site, whole, hours=1.0, people=1, frost_tonight=True)
    needed = {(each.step.act, each.step.on) for each in half.first if each.needed}
    assert ("close", "V1") in needed
    assert all(each.why.endswith(".") for each in half.first)


def test_air_never_goes_in_without_the_hose_the_settings_and_the_end_of_it(estate):
    site, whole = estate
    half = half_a_day(site, whole, hours=3.0, people=1, frost_tonight=True)
    steps = half.procedure.steps
    assert any(step.row for step in steps)
    for number, step in enumerate(steps):
        if step.row is not None:
            before = [s.act for s in steps[:number]]
            after = [s.act for s in steps[number:]]
            assert "connect" in before
            assert "disconnect" in after
            assert any(s.on == "gear" for s in steps[:number])
            held = [c.element for s in steps[:number] for c in s.changes]
            assert any(element.startswith("controller:") for element in held)


def test_without_frost_the_work_goes_from_the_head_of_the_list():
    half = half_a_day(town_garden(), timed(), hours=0.5, people=1, frost_tonight=False)
    keys = [step.key for step in half.procedure.steps]
    assert keys[:3] == ["close IN", "run V1", "open D0"]


def test_enough_time_leaves_nothing_to_wait():
    half = half_a_day(town_garden(), timed(), hours=20.0, people=1, frost_tonight=True)
    assert half.waits == ()
    assert half.procedure.steps == timed().steps
    assert half.unfinished == ()
    assert "0 can wait" in half.sentence


def test_more_people_do_not_shorten_what_takes_its_time(estate):
    site, whole = estate
    half = half_a_day(site, whole, hours=1.0, people=20, frost_tonight=True)
    assert half.minutes_available == 1200.0
    assert half.clock_minutes <= 60.0
    assert half.waits


def test_what_a_half_list_leaves_undone_is_said():
    half = half_a_day(town_garden(), timed(), hours=0.5, people=1, frost_tonight=True)
    assert half.waits
    assert half.unfinished
    assert all(text.endswith(".") for text in half.unfinished)
    assert all(each.why.endswith(".") for each in half.waits)


@pytest.mark.parametrize("hours", [0.6, 1.0, 1.5, 3.0])
def test_a_spring_list_is_cut_from_its_head_between_two_headings(hours):
    site = town_garden()
    whole = compile_startup(site)
    half = half_a_day(site, whole, hours=hours, people=1, frost_tonight=False)
    count = len(half.procedure.steps)
    assert half.procedure.steps == whole.steps[:count]
    assert count > 0
    if count < len(whole.steps):
        assert whole.steps[count].block != whole.steps[count - 1].block
    assert check_procedure(site, half.procedure, rules=RUNNING).broken == ()


def test_no_water_is_let_in_before_a_night_with_frost():
    site = town_garden()
    half = half_a_day(
        site, compile_startup(site), hours=9.0, people=2, frost_tonight=True
    )
    assert half.first
    assert not any(step.act == "fill" for step in half.procedure.steps)
    assert {each.why for each in half.waits} == {
        "No water goes in before a night with frost."
    }


@pytest.mark.parametrize(
    ("hours", "people", "says"),
    [
        (0.0, 1, "hours"),
        (-1.0, 1, "hours"),
        (25.0, 1, "hours"),
        (math.nan, 1, "hours"),
        (math.inf, 1, "hours"),
        (4.0, 0, "people"),
        (4.0, -2, "people"),
    ],
)
def test_no_time_and_nobody_are_refused_in_a_sentence(hours, people, says):
    with pytest.raises(InputError, match=f"^{says}: ") as refused:
        half_a_day(
            town_garden(), timed(), hours=hours, people=people, frost_tonight=True
        )
    assert refused.value.input == says


def test_a_list_that_breaks_a_rule_is_refused():
    steps = tuple(reversed(timed().steps))
    with pytest.raises(InputError, match="breaks a rule as it stands"):
        half_a_day(
            town_garden(),
            procedure("shutdown", steps),
            hours=4.0,
            people=1,
            frost_tonight=True,
        )


def test_the_order_of_exposure_is_argued_and_says_its_sources():
    assert ORDER[0].key == BRASS
    assert place_of(BRASS) < place_of(LATERALS) < place_of(MAINS)
    for each in ORDER:
        assert each.what
        assert each.why.endswith(".")
        assert each.source


def test_a_step_that_only_shuts_saves_nothing_from_frost():
    exposures = Exposures(lay_piping(build_graph(town_garden())))
    steps = {step.key: step for step in shutdown(well=False)}
    assert exposures.class_of_step(steps["close IN"]) == "service"
    assert exposures.class_of_step(steps["open D0"]) == BRASS
    assert exposures.class_of_step(steps["blow V1"]) == LATERALS
    look = Step(key="look", act="record", on="meter", text="Read it.")
    assert exposures.class_of_step(look) == "rest"

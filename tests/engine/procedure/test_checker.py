"""The checker takes any list, tries every order within a step, and says what it sees."""

from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.errors import InputError
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.checker import check_procedure
from maintenance.engine.procedure.contents import Contents
from maintenance.engine.procedure.elements import site_elements
from maintenance.engine.procedure.positions import summer_positions
from tests.engine.procedure.gardens import (
    closing,
    garden,
    opening,
    place,
    procedure,
    shutdown,
    startup,
    step,
    swapped,
    without,
)


def checked(steps, site=None, season="shutdown", **keys):
    return check_procedure(site or garden(), procedure(season, steps), **keys)


def broken(steps, site=None, season="shutdown", **keys):
    """Return the rules that steps break, each with its step."""
    found = checked(steps, site, season, **keys)
    return {each.rule.key: each.at_step for each in found.broken}


def test_a_step_holds_only_what_it_changed():
    first, second = checked(shutdown()).steps[:2]
    assert first.state_after == ()
    on = Contents("water", "on", "potable")
    shut_in = replace(on, pressure="may_stand")
    assert {(c.section, c.was, c.is_) for c in second.state_after} == {
        ("D0", on, shut_in),
        ("AIR", on, shut_in),
    }


def test_a_section_bears_the_name_of_its_smallest_point():
    found = checked((closing("IN"), closing("SPUR"))).steps[1]
    assert found.state_after == ()
    relieved = checked((closing("IN"), closing("SPUR"), opening("D1", act="relieve")))
    assert [c.section for c in relieved.steps[2].state_after] == ["AIR", "D0"]


def test_every_section_is_told_in_the_words_of_the_contract():
    found = checked(shutdown())
    changes = [c.as_json() for each in found.steps for c in each.state_after]
    assert changes
    for change in changes:
        assert set(change) == {"section", "was", "is"}
        for side in (change["was"], change["is"]):
            assert side["holds"] in ("water", "air", "part", "unknown")
            assert side["pressure"] in ("relieved", "may_stand", "on")
            assert side["history"] in ("potable", "not_potable", "air")


def test_a_check_is_told_in_the_words_of_the_contract():
    found = [each.as_json() for each in checked(without(shutdown(), "close IN")).checks]
    assert [each["rule"] for each in found] == [f"I{n}" for n in range(1, 13)]
    holding = next(each for each in found if each["rule"] == "I1")
    assert (holding["holds"], holding["at_step"]) == (True, None)
    failing = next(each for each in found if each["rule"] == "I4")
    assert failing["holds"] is False
    assert isinstance(failing["at_step"], int)


def test_several_moves_at_once_must_pass_in_every_order():
    # Shut the drain and let water in: wrong if the water comes first.
    both = step("open", "both", ("D1", "closed"), ("IN", "open"), sees=("V1",))
    steps = without(startup(), "close D1")
    assert broken(swapped(steps, "open IN", both), season="startup") == {
        "I5": place(steps, "open IN")
    }


def test_several_moves_break_what_one_of_their_orders_breaks():
    start = (closing("IN"), opening("D0", act="relieve"), opening("V1"))
    moves = (
        ("AIR", "hose_connected"),
        ("compressor", "on"),
        ("B1/shutoff_2", "closed"),
    )
    together = broken((*start, step("set", "all", *moves)))
    one_by_one = set()
    for order in permutations(moves):
        singly = [step("set", element, (element, to)) for element, to in order]
        one_by_one |= set(broken((*start, *singly)))
    assert {"I7"} <= set(together) == one_by_one


def test_a_change_over_by_controller_is_checked_between_the_two_zones():
    steps = shutdown()
    over = step("run", "V2", ("V1", "closed"), ("V2", "open"), key="over", sees=("V2",))
    for key in ("close V1", "open V2", "air off V1", "air on V2"):
        steps = without(steps, key)
    at = place(steps, "blow V1")
    assert broken((*steps[:at], over, *steps[at:])) == {"I7": at + 1}
    seen_first = (opening("V2"), closing("V1"))
    assert broken((*steps[:at], *seen_first, *steps[at:])) == {}


def test_an_outlet_that_nobody_saw_pass_is_no_outlet():
    steps = shutdown()
    unseen = replace(steps[place(steps, "open V1") - 1], sees=())
    assert "I7" in broken(swapped(steps, "open V1", unseen))


def test_a_zone_that_nobody_saw_run_lets_no_pressure_off():
    steps = shutdown()
    unseen = replace(steps[place(steps, "run V1") - 1], sees=())
    assert "I4" in broken(swapped(steps, "run V1", unseen))


def test_what_holds_only_during_a_step_is_put_back():
    found = checked((closing("IN"), step("run", "V1", during=(("V1", "open"),))))
    assert found.end.standing.positions["V1"] == "closed"


def test_a_proof_without_an_open_drain_does_not_count():
    found = checked((closing("IN"), step("prove_holding", "IN")))
    assert [each.code for each in found.warnings] == ["no_proof"]
    assert "no opening behind it" in found.warnings[0].text
    assert "IN" not in found.end.proved


@pytest.mark.parametrize(
    ("steps", "why"),
    [
        ((step("prove_holding", "IN"),), "it is not shut"),
        ((step("prove_holding", "D1"),), "it is no valve"),
        ((step("prove_holding", "TOWN"),), "it is not turned off"),
        ((closing("SPUR"), closing("IN"), step("prove_holding", "SPUR")), "no source"),
    ],
)
def test_what_proves_nothing_is_said(steps, why):
    texts = [each.text for each in checked(steps).warnings if each.code == "no_proof"]
    assert len(texts) == 1
    assert why in texts[0]


def test_what_stays_broken_is_told_once():
    steps = without(shutdown(), "prove_holding VW")
    told = [
        each.step.key
        for each in checked(steps).steps
        for rule, _ in each.breaks
        if rule == "I11"
    ]
    # At each time that air goes on, not at each step while it is on.
    assert told == ["air on V1", "air on V2"]


def test_a_valve_that_moves_again_is_no_longer_proved():
    steps = shutdown()
    at = place(steps, "prove_holding IN")
    again = replace(opening("IN"), sees=("D0",)), closing("IN")
    found = checked((*steps[:at], *again))
    assert "IN" not in found.end.proved
    assert "IN" in checked(steps[:at]).end.proved


def test_what_was_wrong_before_the_list_is_said_apart():
    # A double check between town and well: no order of steps mends that.
    found = checked(shutdown(), garden(device="DC"))
    rule = next(each for each in found.checks if each.rule.key == "I1")
    assert (rule.holds, rule.at_step) == (False, 0)
    assert rule.text.startswith("As found, before the first step:")
    assert found.broken == ()
    assert [each.code for each in found.warnings] == ["as_found"]


def test_agreed_other_uses_may_go_without_water():
    steps = (closing("STOP"), opening("STOP"), *shutdown())
    assert broken(steps) == {"I12": 1}
    assert broken(steps, agreed=["HOUSE"]) == {}


def test_a_list_may_begin_where_another_one_ended():
    night = (closing("IN"), opening("D0", act="relieve"))
    end = checked(night, season="frost_night").end
    let_in = step("open", "IN", ("IN", "open"))
    undo = (closing("D0"), opening("V1"), let_in, closing("V1"))
    found = checked(undo, season="frost_undo", start=end)
    assert {each.rule.key for each in found.broken} == set()
    assert found.end.standing.positions == summer_positions(build_graph(garden()))


def test_an_empty_list_leaves_everything_as_it_was():
    found = checked(())
    assert found.end is found.start
    assert {each.rule.key for each in found.checks if not each.holds} == {
        "I9",
        "I10",
        "I11",
    }


def test_the_spring_list_returns_every_position_to_summer():
    found = checked(startup(), season="startup")
    assert found.end.standing.positions == summer_positions(build_graph(garden()))


def test_a_zone_that_only_the_controller_opens_is_not_opened_when_it_is_off():
    site = garden(valve_opens_by="controller")
    steps = (step("switch_off", "K", ("controller:K", "off")), opening("V2"))
    found = checked(steps, site)
    assert [each.code for each in found.warnings] == ["controller_off"]
    assert checked(steps[1:], site).warnings == ()


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        (closing("NOPE"), "step 1: nothing on this site is called"),
        (step("open", "IN", ("IN", "ajar")), 'step 1: IN has no position "ajar"'),
        (step("run", "V1", during=(("V9", "open"),)), "step 1: nothing on this site"),
        (step("check", "V1", sees=("NOPE",)), 'step 1 looks at "NOPE"'),
        (step("set", "IN", ("IN", "open"), ("IN", "closed")), "moves one part twice"),
        (
            step(
                "set", "x", *((each, "open") for each in ("D0", "D1", "V1", "V2", "IN"))
            ),
            "moves 5 parts at once",
        ),
    ],
)
def test_a_step_that_cannot_be_is_refused_in_a_sentence(bad, says):
    with pytest.raises(InputError, match=says):
        checked((bad,))


ACTS = ("open", "close", "run", "relieve", "blow", "prove_holding", "test", "check")
ELEMENTS = site_elements(build_graph(garden()))


@st.composite
def any_steps(draw):
    """Draw steps that move, hold and look at anything, in no order at all."""
    changes = st.dictionaries(st.sampled_from(sorted(ELEMENTS)), st.integers(0, 3))

    def moves():
        drawn = draw(changes.filter(lambda each: len(each) <= 2))
        words = {key: ELEMENTS[key].words for key in drawn}
        return [(key, words[key][n % len(words[key])]) for key, n in drawn.items()]

    return [
        step(
            draw(st.sampled_from(ACTS)),
            draw(st.sampled_from(sorted(ELEMENTS))),
            *moves(),
            during=moves(),
            sees=tuple(draw(st.sets(st.sampled_from(sorted(ELEMENTS)), max_size=3))),
        )
        for _ in range(draw(st.integers(1, 6)))
    ]


@settings(max_examples=40, deadline=None)
@given(any_steps(), st.sampled_from(["shutdown", "startup", "frost_night"]))
def test_any_list_is_checked_and_answered_in_sentences(steps, season):
    found = checked(steps, season=season)
    assert len(found.steps) == len(steps)
    for check in found.checks:
        assert check.text.endswith(".")
        assert check.holds == (check.at_step is None)
    told = {rule for each in found.steps for rule, _ in each.breaks}
    assert told <= {each.rule.key for each in found.broken}

"""The lists of the demonstration break no rule, and say the same twice."""

import pytest

from maintenance.engine.procedure.shutdown.choices import ShutdownChoices
from maintenance.engine.procedure.shutdown.compile import compile_shutdown
from tests.engine.procedure.shutdown.lists import (
    checked,
    larkmoor_list,
    larkmoor_sheet,
    sheet_at,
    site_at,
)
from tests.fixtures.demo import CONTRACTOR, DEMO, LARKMOOR, larkmoor

SITE_A = DEMO.parent / "examples" / "site-a.json"
PATHS = [LARKMOOR, SITE_A, *CONTRACTOR]


def broken(site, procedure, agreed=()):
    result = checked(site, procedure, agreed)
    return [(c.rule.key, c.at_step, c.text) for c in result.checks if not c.holds]


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_a_list_with_air_breaks_no_rule(path):
    site = site_at(path)
    procedure = compile_shutdown(site, sheet=sheet_at(path))
    assert broken(site, procedure) == []


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_a_list_without_air_breaks_no_rule(path):
    site = site_at(path)
    procedure = compile_shutdown(site)
    assert broken(site, procedure) == []
    assert not [step for step in procedure.steps if step.act in ("blow", "connect")]


@pytest.mark.parametrize("how", ["controller", "next_first", "hand"])
def test_larkmoor_breaks_no_rule_however_zones_are_changed(how):
    choices = ShutdownChoices(change_over=how)
    assert broken(larkmoor(), larkmoor_list(choices)) == []


def test_larkmoor_breaks_no_rule_when_the_house_gives_up_its_water():
    choices = ShutdownChoices(agreed=frozenset({"HOUSE"}))
    procedure = larkmoor_list(choices)
    # The riser at the well head has no drain on record: its own step empties it.
    found = broken(larkmoor(), procedure, {"HOUSE"})
    assert [rule for rule, _, _ in found] == ["I9"]
    assert [(w.code, w.about) for w in procedure.warnings if w.code == "left_full"] == [
        ("left_full", ("W1",))
    ]
    assert not [each for each in procedure.stays_open if each.id in ("PU", "S2")]
    acts = [(step.act, step.on) for step in procedure.steps]
    assert acts.index(("prove_dead", "PU")) < acts.index(("drain", "PU"))


def test_the_same_site_gives_the_same_list():
    again = compile_shutdown(larkmoor(), sheet=larkmoor_sheet())
    assert again == larkmoor_list()
    keys = [step.key for step in again.steps]
    assert len(set(keys)) == len(keys)


def test_another_setting_moves_no_key():
    """A list that is kept is compared by its keys when the site changes."""
    hand = larkmoor_list(ShutdownChoices(change_over="hand"))
    keys = {step.key for step in larkmoor_list().steps}
    assert keys <= {step.key for step in hand.steps} | {
        "station time K-CELLAR",
        "station time K-PUMP",
        "run hand valves",
    } | {key for key in keys if key.startswith("close ")}


def test_no_sentence_promises_what_nobody_can_know():
    for step in larkmoor_list().steps:
        said = " ".join((step.text, step.why, *step.cautions)).lower()
        assert not {"safe", "proved", "guaranteed"} & set(said.split()), step.key

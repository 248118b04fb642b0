"""The demonstration's sites and Site A start up, and freeze a night, by all the rules."""

from pathlib import Path

import pytest

from maintenance.engine.procedure.checker import check_procedure
from maintenance.engine.procedure.frost_night import compile_frost_night
from maintenance.engine.procedure.frost_undo import compile_frost_undo
from maintenance.engine.procedure.shutdown.compile import compile_shutdown
from maintenance.engine.procedure.startup.autumn import AutumnRecord, begin_startup
from maintenance.engine.procedure.startup.compiler import compile_startup
from maintenance.engine.site import Site
from maintenance.engine.site.card import site_from_card
from maintenance.exchange.site_file import read_site
from tests.fixtures.demo import CONTRACTOR, DEMO, LARKMOOR, larkmoor

SITE_A = DEMO.parent / "examples" / "site-a.json"
each_site = pytest.mark.parametrize(
    "path", [LARKMOOR, SITE_A, *CONTRACTOR], ids=lambda path: path.stem
)


def laid(path: Path) -> Site:
    return site_from_card(read_site(path.read_bytes()))


@each_site
def test_the_mirrored_start_up_breaks_no_rule_and_ends_in_summer(path):
    site = laid(path)
    checked = check_procedure(site, compile_startup(site))
    assert [(c.rule.key, c.text) for c in checked.checks if not c.holds] == []


@each_site
def test_a_frost_night_and_the_morning_after_break_no_rule(path):
    site = laid(path)
    night = compile_frost_night(site)
    held = check_procedure(site, night)
    undo = check_procedure(site, compile_frost_undo(site, night=night), start=held.end)
    assert [(c.rule.key, c.text) for c in held.checks if not c.holds] == []
    assert [(c.rule.key, c.text) for c in undo.checks if not c.holds] == []


def test_larkmoors_spring_takes_back_its_own_shutdown():
    site = larkmoor()
    shut = check_procedure(site, compile_shutdown(site))
    autumn = AutumnRecord(positions=shut.end.standing.positions)
    procedure = compile_startup(site, autumn=autumn)
    checked = check_procedure(site, procedure, start=begin_startup(site, autumn))
    assert [(c.rule.key, c.text) for c in checked.checks if not c.holds] == []
    back = {step.on for step in procedure.steps if step.act == "install"}
    assert back == {"FI20", "FI21", "FI22", "FI23"}


def test_larkmoor_fills_by_its_two_highest_couplers_one_source_at_a_time():
    steps = compile_startup(larkmoor()).steps
    fills = [step for step in steps if step.act == "fill"]
    assert [(step.on, step.sees) for step in fills] == [
        ("V1", ("Q1",)),
        ("V2", ("Q3",)),
    ]
    between = steps[steps.index(fills[0]) : steps.index(fills[1])]
    assert any(s.on == "V1" and s.to == "open" for s in between)
    keys = [(s.act, s.on) for s in steps]
    assert keys.index(("close", "VX")) < steps.index(fills[0])

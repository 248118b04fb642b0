"""Spring takes back what autumn did: every part, on any site, without a broken rule."""

import pytest
from hypothesis import given, settings

from maintenance.engine.errors import InputError
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.checker import CheckedProcedure, check_procedure
from maintenance.engine.procedure.piping import lay_piping
from maintenance.engine.procedure.positions import summer_positions
from maintenance.engine.procedure.shutdown.compile import compile_shutdown
from maintenance.engine.procedure.startup.autumn import AutumnRecord, begin_startup
from maintenance.engine.procedure.startup.choices import StartupChoices
from maintenance.engine.procedure.startup.compiler import compile_startup
from maintenance.engine.procedure.startup.fill_plan import plan_fills
from maintenance.engine.procedure.startup.fill_ways import wastes_half_open
from maintenance.engine.site import Site
from tests.engine.network.small_sites import (
    joined,
    lateral,
    link,
    point,
    site_of,
    site_record,
)
from tests.engine.procedure.gardens import garden, town_side, valve
from tests.engine.procedure.shutdown.random_sites import small_sites
from tests.engine.procedure.spring_sites import sites_left_for_winter, spring_sites

few = settings(max_examples=50, deadline=None)
SHUT = ("closed", "plug_in", "key_out")
FOREIGN = ("I1", "I2", "I3")


def checked(site: Site, autumn: AutumnRecord | None) -> CheckedProcedure:
    procedure = compile_startup(site, autumn=autumn)
    return check_procedure(site, procedure, start=begin_startup(site, autumn))


def not_returned(result: CheckedProcedure) -> list[str]:
    """What does not stand as in summer at the end; a hand pump may be on or off."""
    standing = result.end.standing
    summer = summer_positions(standing.piping.graph)
    elements = standing.piping.elements
    return [
        key
        for key, position in standing.positions.items()
        if position != summer[key]
        and not (elements[key].kind == "pump" and position in elements[key].summer)
    ]


@few
@given(sites_left_for_winter())
def test_every_part_ends_in_its_summer_position_and_no_rule_is_broken(left):
    result = checked(*left)
    assert not_returned(result) == []
    assert [(c.rule.key, c.text) for c in result.broken] == []


@few
@given(small_sites())
def test_spring_takes_back_every_position_of_a_compiled_shutdown(site):
    end = check_procedure(site, compile_shutdown(site)).end
    result = checked(site, AutumnRecord(positions=end.standing.positions))
    codes = {warning.code for warning in result.procedure.warnings}
    # What the site itself makes impossible is left undone, and the list says so.
    if not codes & {"kept_out", "pump_leads_nowhere"}:
        assert not_returned(result) == []
    excused = {
        *(("I10",) if codes & {"kept_out", "pump_leads_nowhere"} else ()),
        *(("I5",) if "air_has_no_way" in codes else ()),
        *(("I4",) if "pressure_may_stand" in codes else ()),
        *(w.text.partition(",")[0] for w in result.warnings if w.code == "as_found"),
    }
    assert {c.rule.key for c in result.broken} <= excused


@few
@given(sites_left_for_winter())
def test_everything_left_open_gets_a_step_that_shuts_it(left):
    site, autumn = left
    steps = compile_startup(site, autumn=autumn).steps
    start = begin_startup(site, autumn).standing
    summer = summer_positions(start.piping.graph)
    for key, position in start.positions.items():
        if summer[key] not in SHUT or position == summer[key]:
            continue
        shutting = [
            step
            for step in steps
            if step.act == "close"
            and any((c.element, c.position) == (key, summer[key]) for c in step.changes)
        ]
        assert shutting, key
        assert all(step.text.endswith(".") for step in shutting)


@few
@given(spring_sites())
def test_the_outlet_open_while_a_main_fills_is_the_highest_of_it(site):
    piping = lay_piping(build_graph(site))
    start = begin_startup(site)
    for fill in plan_fills(piping, start.standing.positions, StartupChoices()):
        if wastes_half_open(piping, fill.way.gate):
            continue
        heights = [
            piping.graph.points[o.point].elevation.value
            for o in piping.openings
            if o.kind in ("quick_coupler", "hydrant") and o.cell in fill.main
        ]
        heights += [
            piping.graph.points[piping.graph.links[g.link].from_].elevation.value
            for g in piping.gates
            if g.kind == "diaphragm" and g.start in fill.main
        ]
        top = fill.outlets[0]
        assert top.height_m > max(heights) - 0.3


@pytest.mark.parametrize("position", ["closed", "half_open", "open"])
def test_what_is_already_shut_gets_no_closing_line(position):
    site = garden(well=False)
    steps = compile_startup(site, autumn=AutumnRecord(positions={"D1": position})).steps
    lines = [step for step in steps if step.on == "D1"]
    assert bool(lines) == (position != "closed")


def test_a_position_that_its_part_has_not_is_refused_in_a_sentence():
    record = AutumnRecord(positions={"D1": "ajar"})
    with pytest.raises(InputError, match='autumn record: D1 has no position "ajar"'):
        compile_startup(garden(), autumn=record)


def test_what_is_gone_since_autumn_is_told_and_passed_over():
    record = AutumnRecord(positions={"GONE": "open"}, zones={"99": "done"})
    procedure = compile_startup(garden(well=False), autumn=record)
    found = [w for w in procedure.warnings if w.code == "gone_since_autumn"]
    assert [warning.about for warning in found] == [("GONE", "zone 99")]


@few
@given(sites_left_for_winter())
def test_the_same_record_gives_the_same_list_and_no_key_twice(left):
    site, autumn = left
    one, other = (compile_startup(site, autumn=autumn) for _ in range(2))
    assert one == other
    keys = [step.key for step in one.steps]
    assert len(set(keys)) == len(keys)


def two_sources(device: str) -> Site:
    """Town water past an assembly, and a well, both open to one main in summer."""
    points, links = joined(town_side(device), lateral("1", "J1"))
    points += [point("WELL", "supply", -5.0, source="well"), point("W1")]
    links += [
        link("PU", "pump", "WELL", "W1", control="pressure_switch"),
        valve("VW", "W1", "J1", "open", "closed"),
    ]
    return site_of(
        site_record(points, links, ["1"], cross_connection_rule="rp_or_airgap")
    )


def test_well_water_is_not_let_onto_a_main_that_a_vacuum_breaker_feeds():
    site = two_sources("PVB")
    procedure = compile_startup(site)
    kept = [w.about for w in procedure.warnings if w.code == "kept_out"]
    assert kept
    told = [step for step in procedure.steps if step.block.startswith("Not to be let")]
    assert told
    assert all("ask the water supplier" in step.text for step in told)
    broken = {c.rule.key for c in check_procedure(site, procedure).broken}
    assert not broken & set(FOREIGN)


def test_a_second_source_is_let_in_behind_a_reduced_pressure_assembly():
    site = two_sources("RP")
    procedure = compile_startup(site)
    assert not [w for w in procedure.warnings if w.code == "kept_out"]
    result = check_procedure(site, procedure)
    assert result.end.standing.positions["VW"] == "open"
    assert not {c.rule.key for c in result.broken} & set(FOREIGN)


def test_where_one_source_is_kept_out_the_next_still_lets_the_air_out():
    site = two_sources("DC")
    procedure = compile_startup(site)
    assert [w.about for w in procedure.warnings if w.code == "kept_out"] == [("IN",)]
    fill = next(step for step in procedure.steps if step.act == "fill")
    assert fill.on == "PU"
    assert fill.sees == ("Q1",), "the coupler lets the air out"
    broken = {c.rule.key for c in check_procedure(site, procedure).broken}
    assert broken == {"I10"}, "what is kept out is not in its summer position"

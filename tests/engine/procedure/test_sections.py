"""Sections: what parts them, what joins them, and what is carried from step to step."""

import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.beginning import begin
from maintenance.engine.procedure.checker import check_procedure
from maintenance.engine.procedure.contents import HISTORIES, PRESSURES
from maintenance.engine.procedure.piping import lay_piping
from maintenance.engine.procedure.positions import summer_positions
from maintenance.engine.procedure.sections import stand
from tests.engine.network.small_sites import (
    joined,
    lateral,
    link,
    point,
    site_of,
    site_record,
)
from tests.engine.procedure.gardens import (
    closing,
    garden,
    opening,
    place,
    procedure,
    shutdown,
    step,
    valve,
)

VALVES = ("STOP", "IN", "SPUR", "VW", "V1", "V2", "B1/shutoff_1", "B1/shutoff_2")
OUTLETS = ("D0", "D1")


def standing_of(site, **moved):
    piping = lay_piping(build_graph(site))
    return stand(piping, {**summer_positions(piping.graph), **moved})


def section_at(standing, point_id):
    cell = standing.piping.cell_of[point_id]
    return {
        point
        for each in standing.cells[standing.section_of[cell]]
        for point in standing.piping.members[each]
    }


def sources_at(standing, point_id):
    return standing.sources_at(standing.piping.cell_of[point_id])


def test_shut_valves_and_one_way_parts_bound_a_section():
    standing = standing_of(garden())
    assert section_at(standing, "K1") == {
        *("TOWN", "K0", "HOUSE", "K1", "D0", "K2", "B1/inlet")
    }
    assert section_at(standing, "J1") >= {"B1/outlet", "AIR", "D1", "Q1", "S2"}
    assert section_at(standing, "W1") == {"W1", "BARN"}


def test_sources_pass_checks_pumps_and_assemblies_forward_only():
    standing = standing_of(garden(), VW="open")
    assert sources_at(standing, "J1") == ("TOWN", "WELL")
    assert sources_at(standing, "BARN") == ("WELL",)
    assert sources_at(standing, "HOUSE") == ("TOWN",)


@pytest.mark.parametrize("pump", ["off", "proved_dead"])
def test_a_well_presses_only_while_its_pump_runs(pump):
    assert sources_at(standing_of(garden(), PU=pump), "BARN") == ()


@pytest.mark.parametrize(
    ("keys", "presses"),
    [
        ({"source": "public"}, True),
        ({"source": "tank"}, True),
        ({"source": "surface", "static_pressure": "20 psi"}, True),
        ({"source": "surface"}, False),
        ({"source": "well", "static_pressure": "50 psi"}, False),
    ],
)
def test_what_has_a_pressure_of_its_own_presses_through_a_pump_at_rest(keys, presses):
    points = [point("SUP", "supply", **keys), point("J1")]
    links = [link("PU", "pump", "SUP", "J1", pump="booster")]
    site = site_of(site_record(*joined((points, links), lateral("1", "J1")), ["1"]))
    found = sources_at(standing_of(site, PU="proved_dead"), "J1")
    assert found == (("SUP",) if presses else ())


def test_a_half_open_valve_parts_nothing():
    half = standing_of(garden(), IN="half_open")
    assert half.cells == standing_of(garden()).cells


def test_a_removed_assembly_joins_nothing_and_is_open_on_both_sides():
    standing = standing_of(garden(), B1="removed")
    assert sources_at(standing, "J1") == ()
    opened = {o.point for o in standing.open[standing.piping.cell_of["AIR"]]}
    assert "B1" in opened


def selecting(first, second):
    """Two sources that one selector valve lets in by turns."""
    points = [
        point("S1", "supply", source="public"),
        point("S2", "supply", source="well"),
        point("J1"),
    ]
    links = [
        valve("A", "S1", "J1", "open", "closed", type="selector"),
        valve("B", "S2", "J1", "closed", "closed", type="selector"),
    ]
    site = site_of(site_record(*joined((points, links), lateral("1", "J1")), ["1"]))
    return sources_at(standing_of(site, A=first, B=second), "J1")


def test_a_selector_valve_never_shuts_both_of_its_ways():
    assert selecting("open", "closed") == ("S1",)
    assert selecting("closed", "open") == ("S2",)
    assert selecting("closed", "closed") == ("S1", "S2")
    # Half turned it leads to both.
    assert selecting("half_open", "closed") == ("S1", "S2")


def test_a_selector_valve_alone_shuts_nothing():
    points = [point("S1", "supply", source="public"), point("J1")]
    links = [valve("A", "S1", "J1", "open", "closed", type="selector")]
    site = site_of(site_record(*joined((points, links), lateral("1", "J1")), ["1"]))
    assert sources_at(standing_of(site, A="closed"), "J1") == ("S1",)


def contents_at(checked, point_id):
    cell = checked.end.standing.piping.cell_of[point_id]
    return checked.end.contents[cell]


def run(*steps, site=None):
    return check_procedure(site or garden(), procedure("shutdown", steps))


def test_non_potable_water_wins_where_waters_meet():
    assert contents_at(run(), "J1").history == "potable"
    assert contents_at(run(opening("VW")), "J1").history == "not_potable"
    # And stays when the valve is shut again, on both sides.
    assert contents_at(run(opening("VW"), closing("VW")), "J1").history == "not_potable"
    assert contents_at(run(opening("VW")), "HOUSE").history == "potable"


def test_an_injector_makes_the_water_behind_it_unfit_to_drink():
    points = [point("S1", "supply", source="public"), point("J1"), point("J2")]
    links = [valve("IN", "S1", "J1", "open", "closed")]
    links.append(link("X1", "injector", "J1", "J2"))
    site = site_of(site_record(*joined((points, links), lateral("1", "J2")), ["1"]))
    assert contents_at(run(closing("IN"), site=site), "J2").history == "not_potable"


def test_pressure_stands_behind_a_shut_valve_until_it_is_seen_to_go():
    shut = run(closing("IN"))
    assert contents_at(shut, "J1").pressure == "may_stand"
    let_off = run(closing("IN"), opening("D1", act="relieve"), closing("D1"))
    assert contents_at(let_off, "J1").pressure == "relieved"
    unseen = run(closing("IN"), step("open", "D1", ("D1", "open")))
    assert contents_at(unseen, "J1").pressure == "may_stand"


def test_pressure_before_an_assembly_goes_by_what_is_open_behind_it():
    let_off = run(closing("IN"), opening("D1", act="relieve"))
    assert contents_at(let_off, "K1").pressure == "relieved"
    # The water itself stays.
    assert contents_at(let_off, "K1").holds == "water"


def test_a_high_opening_keeps_the_water():
    steps = (closing("IN"), step("run", "V2", during=(("V2", "open"),), sees=("V2",)))
    key_in = step("open", "Q1", ("Q1", "key_in"), sees=("Q1",))
    site = garden(valve_anti_siphon=False)
    before = contents_at(run(*steps, site=site), "S1").holds
    assert contents_at(run(*steps, key_in, site=site), "S1").holds == before


def test_a_blown_section_holds_air_until_other_water_joins_it():
    steps = shutdown()
    blown = contents_at(run(*steps[: place(steps, "air off V2")]), "J1")
    assert (blown.holds, blown.history, blown.pressure) == ("air", "air", "relieved")
    # The inside of the assembly, drained only, joins at the end.
    assert contents_at(run(*steps), "J1").history == "potable"


moves = st.lists(
    st.tuples(st.sampled_from(VALVES + OUTLETS), st.sampled_from(["open", "closed"])),
    max_size=8,
)


def as_steps(pairs, opened="open"):
    return [
        step("set", element, (element, opened if to == "open" else to), sees=(element,))
        for element, to in pairs
    ]


@settings(max_examples=40, deadline=None)
@given(moves)
def test_half_open_counts_as_open_in_every_rule_but_the_named_position(pairs):
    full, half = (
        check_procedure(garden(), procedure("shutdown", as_steps(pairs, word)))
        for word in ("open", "half_open")
    )
    told = [
        [(c.rule.key, c.at_step) for c in each.checks if c.rule.key != "I10"]
        for each in (full, half)
    ]
    assert told[0] == told[1]
    assert full.end.contents == half.end.contents


@settings(max_examples=40, deadline=None)
@given(moves, st.sampled_from(VALVES))
def test_shutting_a_valve_takes_nothing_from_either_side(pairs, last):
    steps = as_steps(pairs)
    found = run(*steps, closing(last))
    was = found.steps[-1]
    for change in was.state_after:
        # Only pressure can go: what is parted keeps its water.
        assert HISTORIES.index(change.is_.history) <= HISTORIES.index(
            change.was.history
        )
        assert PRESSURES.index(change.is_.pressure) <= PRESSURES.index(
            change.was.pressure
        )
        kept = change.is_.holds == change.was.holds
        assert kept or (change.was.holds, change.is_.holds) == ("water", "part")


@settings(max_examples=40, deadline=None)
@given(moves)
def test_what_one_section_holds_together_has_one_pressure_and_one_water(pairs):
    state = run(*as_steps(pairs)).end
    for section in state.standing.cells:
        assert len({state.contents[cell].pressure for cell in section}) == 1
        assert len({state.contents[cell].history for cell in section}) == 1


@settings(max_examples=40, deadline=None)
@given(moves, st.sampled_from(VALVES + OUTLETS))
def test_opening_more_never_takes_a_source_away(pairs, more):
    piping = lay_piping(build_graph(garden()))
    positions = {**summer_positions(piping.graph), **dict(pairs)}
    before = stand(piping, positions)
    after = stand(piping, {**positions, more: "open"})
    assert all(before.reach[key] <= after.reach[key] for key in before.reach)


def test_winter_leaves_unknown_what_nobody_recorded():
    state = begin(lay_piping(build_graph(garden())), "startup")
    cell = state.standing.piping.cell_of
    assert state.contents[cell["J1"]].holds == "part"
    assert state.contents[cell["S1"]].holds == "unknown"
    assert state.contents[cell["HOUSE"]].pressure == "on"
    assert "D1" in state.seen

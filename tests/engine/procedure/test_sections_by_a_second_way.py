"""Sections and reach agree with a plain graph search over every point and link."""

import networkx as nx
import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.piping import lay_piping
from maintenance.engine.procedure.positions import summer_positions
from maintenance.engine.procedure.sections import stand
from tests.engine.procedure.gardens import garden
from tests.fixtures.demo import larkmoor

SITES = [garden(), garden(device="PVB"), garden(device="AVB"), larkmoor()]
PIPINGS = [lay_piping(build_graph(site)) for site in SITES]
PASSES_BOTH_WAYS = ("pipe", "meter", "filter", "pressure_regulator", "fitting")


def ways(link, positions):
    """Return the directed steps that water can take in one link, point to point."""
    one, other, at = link.from_, link.to, positions.get(link.id)
    if link.kind in PASSES_BOTH_WAYS:
        return {(one, other), (other, one)}
    if link.kind == "isolation_valve":
        return {(one, other), (other, one)} if at != "closed" else set()
    if link.kind == "zone_valve":
        # Shut, its diaphragm may lift against a pressure from behind.
        return {(other, one)} | ({(one, other)} if at != "closed" else set())
    if link.kind == "check_valve":
        return {(one, other)}
    if link.kind == "pump":
        return {(one, other)} if at == "on" else set()
    assert link.kind == "backflow"
    return assembly_ways(link, positions)


def assembly_ways(link, positions):
    gone = positions[link.id] == "removed"
    inlet, outlet = f"{link.id}/inlet", f"{link.id}/outlet"
    found = set() if gone else {(inlet, outlet)}
    for end, inside, name in (
        (link.from_, inlet, "shutoff_1"),
        (link.to, outlet, "shutoff_2"),
    ):
        # Without a shut-off of its own its inside is the end of the pipe.
        at = positions.get(f"{link.id}/{name}")
        if at is None or (at != "closed" and not gone):
            found |= {(end, inside), (inside, end)}
    return found


def graph_of(piping, positions):
    graph = nx.DiGraph()
    graph.add_nodes_from(piping.cell_of)
    for link in piping.graph.links.values():
        graph.add_edges_from(ways(link, positions))
    return graph


@st.composite
def moves(draw):
    """Draw a site by number, and some elements in any of their positions."""
    number = draw(st.integers(0, len(PIPINGS) - 1))
    elements = PIPINGS[number].elements
    movable = sorted(set(elements) - set(PIPINGS[number].supplies))
    keys = draw(st.lists(st.sampled_from(movable), max_size=12, unique=True))
    return number, {key: draw(st.sampled_from(elements[key].words)) for key in keys}


def standing_of(number, moved):
    piping = PIPINGS[number]
    positions = {**summer_positions(piping.graph), **moved}
    return piping, stand(piping, positions), graph_of(piping, positions)


@settings(max_examples=60, deadline=None)
@given(moves())
def test_a_source_presses_on_what_a_plain_search_reaches(drawn):
    piping, standing, graph = standing_of(*drawn)
    for source, cells in standing.reach.items():
        plain = nx.descendants(graph, source) | {source}
        ours = {p for p, cell in piping.cell_of.items() if cell in cells}
        assert ours == plain


@settings(max_examples=60, deadline=None)
@given(moves())
def test_a_section_is_what_water_passes_both_ways(drawn):
    piping, standing, graph = standing_of(*drawn)
    both = nx.Graph((a, b) for a, b in graph.edges if graph.has_edge(b, a))
    both.add_nodes_from(graph)
    ours = {
        frozenset(p for cell in section for p in piping.members[cell])
        for section in standing.cells
    }
    assert ours == {frozenset(each) for each in nx.connected_components(both)}


@pytest.mark.parametrize("piping", PIPINGS, ids=["RP", "PVB", "AVB", "larkmoor"])
def test_every_point_has_its_cell(piping):
    inside = {p for p in piping.cell_of if p not in piping.graph.points}
    assert set(piping.graph.points) <= set(piping.cell_of)
    assert all(name.endswith(("/inlet", "/outlet")) for name in inside)

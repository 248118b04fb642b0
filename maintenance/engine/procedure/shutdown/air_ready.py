"""Before air from a port: what must be shut, open, out of the line or in place."""

from maintenance.engine.procedure.elements import COMPRESSOR, SHUTOFF_1
from maintenance.engine.procedure.sections import stand
from maintenance.engine.procedure.shutdown import cautions, citations
from maintenance.engine.procedure.shutdown.assemblies import doubts_about
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.drains import shut_openings
from maintenance.engine.procedure.shutdown.given import Given
from maintenance.engine.procedure.shutdown.isolation import source_valves
from maintenance.engine.procedure.shutdown.names import listed, noted, part_words
from maintenance.engine.procedure.spread import spread
from maintenance.engine.procedure.step import Act, Change, Step
from maintenance.engine.site import BlowoutPort, IsolationValve


def air_cells(draft: Draft, port: str) -> frozenset[int]:
    """Return the cells that air from a port presses on with all zones shut.

    Parameters
    ----------
    draft : Draft
        The list so far, the sources shut. [-]
    port : str
        Id of the port. [-]

    Returns
    -------
    frozenset of int
        Cells. [-]
    """
    positions = {**draft.positions, **_valves_for_air(draft)}
    for key, element in draft.given.piping.elements.items():
        if element.kind in ("shutoff", "zone_valve"):
            positions[key] = "closed"
    positions |= {port: "hose_connected", COMPRESSOR: "on"}
    return stand(draft.given.piping, positions).air


def make_ready(draft: Draft, port: str) -> None:
    """Write the steps from drained lines to a hose that is connected.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    port : str
        Id of the port. [-]
    """
    given = draft.given
    cells = air_cells(draft, port)
    shut_openings(draft, cells, frozenset({port}))
    for valve, word in _valves_for_air(draft).items():
        if _touches(given, valve, cells) and draft.positions[valve] != word:
            draft.add(_turn(draft, valve, word))
    for key, element in given.piping.elements.items():
        shut = element.kind == "shutoff" and draft.positions[key] == "closed"
        if element.kind == "shutoff" and not shut and _touches(given, key, cells):
            stays = element.winter[0] == "closed"
            doubts = doubts_about(draft, key, "closed") if stays else ()
            draft.add(_part(key, element.part, doubts))
    draft.add(_connect(draft, port))


def _valves_for_air(draft: Draft) -> dict[str, str]:
    """Return the position of isolation valves while air is on, source valves left out.

    As the sheet takes them: one valve of each ring is shut so that the air has one
    way; what parts a source, or stands shut in summer, is shut; all others are open.
    """
    barred = draft.given.barred
    sources = source_valves(draft)
    summer = draft.given.start.standing.positions
    return {
        link.id: "closed" if link.id in barred else summer[link.id]
        for link in draft.given.graph.links.values()
        if isinstance(link, IsolationValve)
        and link.type != "selector"
        and link.id not in sources
    }


def is_indoors(given: Given, port: str) -> bool:
    """Whether a port stands indoors, where no engine and no hose under air belongs.

    Parameters
    ----------
    given : Given
        The site. [-]
    port : str
        Id of the port. [-]

    Returns
    -------
    bool
        True where every pipe that meets it is recorded as indoors. [-]
    """
    joined = given.graph.joined[port]
    places = [b.placement for x in joined if (b := given.graph.bores.get(x))]
    return bool(places) and all(place == "indoors" for place in places)


def _where_it_lies(given: Given, port: str) -> str:
    """Say where a port stands to the assemblies."""
    piping, ways = given.piping, given.start.standing.passing
    cell = piping.cell_of[port]
    above = [
        gate.link
        for gate in piping.gates
        if piping.assembly(gate) is not None
        and cell in spread(piping, [gate.end], ways)
    ]
    if not above:
        return (
            "It is the port of this line; no assembly lies on its way from the source."
        )
    return f"It lies downstream of {listed(above)}; no air goes through an assembly."


def _touches(given: Given, element: str, cells: frozenset[int]) -> bool:
    gate = given.gates[element]
    return bool({gate.start, gate.end} & cells)


def _turn(draft: Draft, valve: str, word: str) -> Step:
    link = draft.given.graph.links[valve]
    act: Act = "close" if word == "closed" else "open"
    verb = "Shut" if act == "close" else "Open"
    why = "The pipes form a ring: with it shut the air has one way and sweeps it."
    if act == "open":
        why = "The air goes this way."
    return Step(
        key=f"{act} {valve} for air",
        act=act,
        on=valve,
        to=word.replace("_", " "),
        text=f"{verb} {part_words(link)}.{noted(link)}",
        why=why,
        minutes=3,
        changes=(Change(valve, word),),
    )


def _part(element: str, assembly: str, doubts: tuple[str, ...]) -> Step:
    which = "first" if element.endswith(SHUTOFF_1) else "second"
    return Step(
        key=f"close {element}",
        act="close",
        on=element,
        to="closed",
        text=f"Shut the {which} shut-off of {assembly} ({element}).",
        why="No air may press on an assembly: it goes in downstream of it, and only there.",
        cautions=doubts,
        source=f"{citations.AVION}; {citations.IOWA}",
        minutes=2,
        changes=(Change(element, "closed"),),
    )


def _connect(draft: Draft, port: str) -> Step:
    part = draft.given.graph.points[port]
    fits = ""
    if isinstance(part, BlowoutPort) and part.fitting:
        fits = f" Fitting: {part.fitting}."
    return Step(
        key=f"connect {port}",
        act="connect",
        on=port,
        to="hose on",
        text=(
            f"Take the plug out of {part_words(part)} slowly and put the hose on."
            f"{fits}{noted(part)}"
        ),
        why=_where_it_lies(draft.given, port),
        cautions=(cautions.PLUG, cautions.HOSE, cautions.ENGINE),
        source=f"{citations.MEDFORD}; {citations.LAKE_OSWEGO}",
        minutes=10,
        changes=(Change(port, "hose_connected"),),
    )

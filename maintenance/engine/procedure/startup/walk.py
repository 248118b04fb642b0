"""The walk: every zone once, against what it should draw."""

from maintenance.engine.figure import Warning
from maintenance.engine.network.graph import Graph
from maintenance.engine.procedure.piping import Gate
from maintenance.engine.procedure.shutdown.names import noted, zone_place, zone_words
from maintenance.engine.procedure.sources import pushes
from maintenance.engine.procedure.spread import FORWARD, spread
from maintenance.engine.procedure.startup import minutes
from maintenance.engine.procedure.startup.autumn import AutumnRecord
from maintenance.engine.procedure.startup.choices import StartupChoices
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.procedure.startup.fill_ways import by_hand
from maintenance.engine.procedure.startup.wording import both
from maintenance.engine.procedure.startup.zone_flows import (
    ZoneExpected,
    expected_flows,
)
from maintenance.engine.site import Supply, Zone, ZoneValve
from maintenance.engine.units import display

_LOOK = (
    "At each zone look for: heads that stay down or do not turn, wrong arcs, clogged "
    "nozzles, puddles, mist, spray on a path."
)
_SOURCE = "Landscape Management, spring start-up checklist, 16 March 2016 (two minutes)"
_ICE = "Water on a path or road freezes at night: keep people off it."
_ENDS = {
    "not_found": "Not found in autumn: watch for a wet place and for low flow.",
    "partly": "Emptied only in part in autumn: look for cracks.",
    "skipped": "Left out in autumn: look for cracks.",
}


def walk_zones(
    draft: Draft, autumn: AutumnRecord | None, choices: StartupChoices
) -> None:
    """Write one line for each zone.

    Parameters
    ----------
    draft : Draft
        The list, filled by now. [-]
    autumn : AutumnRecord or None
        How each zone ended in autumn. [-]
    choices : StartupChoices
        What each zone drew last spring. [m3/s]
    """
    draft.block = "Walk the zones"
    piping = draft.piping
    expected = expected_flows(piping.graph)
    valves = {gate.id: gate for gate in piping.gates if gate.kind == "diaphragm"}
    if piping.graph.site.zones:
        draft.add(
            "check",
            "zones",
            _LOOK,
            why="Faults found now are repaired before the season.",
            source=_SOURCE,
            minutes=minutes.TURN,
        )
    for zone in piping.graph.site.zones:
        gate = valves.get(zone.valve or "")
        if gate is None or not _fed(draft, gate):
            _no_water(draft, zone)
            continue
        end = autumn.zones.get(zone.id, "done") if autumn else "done"
        _run(draft, zone, gate.id, expected.get(zone.id), (end, choices))


def _no_water(draft: Draft, zone: Zone) -> None:
    draft.warnings.append(
        Warning(
            "zone_without_water",
            f"No source reaches zone {zone.id} as the valves stand in summer: it is not "
            "on the walk.",
            (zone.id,),
        )
    )


def _fed(draft: Draft, gate: Gate) -> bool:
    """Whether water gets to a zone valve, with what a person may start."""
    pumped = _pump_ways(draft)
    return bool(draft.standing.sources_at(gate.start)) or any(
        gate.start in spread(draft.piping, [at], pumped)
        for key, at in draft.piping.supplies.items()
        if draft.positions[key] == "on"
    )


def _pump_ways(draft: Draft) -> tuple[int, ...]:
    """Return the ways each gate passes now, with the pumps started by hand running."""
    piping = draft.piping
    return tuple(
        FORWARD if gate.kind == "pump" and by_hand(piping, gate.id) else way
        for gate, way in zip(piping.gates, draft.standing.passing, strict=True)
    )


def _run(
    draft: Draft,
    zone: Zone,
    valve: str,
    expected: ZoneExpected | None,
    known: tuple[str, StartupChoices],
) -> None:
    end, choices = known
    hand = _hand_pumps(draft, valve)
    said = (
        f"{_how(draft.piping.graph, zone, valve)}.",
        _flow(expected),
        _last(choices.last_spring_m3_per_s.get(zone.id)),
    )
    draft.add(
        "run",
        zone.id,
        " ".join(text for text in said if text) + noted(zone),
        to=f"{minutes.ZONE_RUN:.0f} min",
        why=_spits(expected),
        cautions=tuple(text for text in (_ENDS.get(end), _near(zone)) if text),
        source=_SOURCE,
        moves=[(valve, "open")] if hand else (),
        during=[(pump, "on") for pump in hand] if hand else [(valve, "open")],
        sees=(valve,),
        minutes=minutes.ZONE_RUN + minutes.ZONE_LOOK,
    )
    if hand:
        draft.add(
            "close",
            valve,
            f"Shut {draft.name(valve)}, now that the pump is stopped.",
            to="closed",
            why="The pump never works against a closed line.",
            moves=[(valve, "closed")],
            minutes=minutes.STEP_ASIDE,
        )


def _hand_pumps(draft: Draft, valve: str) -> tuple[str, ...]:
    """Return the pumps that a person starts for a zone that nothing presses on yet."""
    piping = draft.piping
    ways = _pump_ways(draft)
    start = next(gate.start for gate in piping.gates if gate.id == valve)
    found: list[str] = []
    if draft.standing.sources_at(start):
        return ()
    for key, at in piping.supplies.items():
        point = piping.graph.points[key]
        pressed = isinstance(point, Supply) and pushes(point)
        reached = spread(piping, [at], ways)
        if pressed or start not in reached:
            continue
        found += [
            each.id
            for each in piping.gates
            if each.kind == "pump"
            and each.start in reached
            and by_hand(piping, each.id)
        ]
    return tuple(dict.fromkeys(found))


def _how(graph: Graph, zone: Zone, valve: str) -> str:
    link = graph.links[valve]
    time = f"for {minutes.ZONE_RUN:.0f} minutes"
    if not isinstance(link, ZoneValve):
        return f"Run {zone_words(zone)} {time}"
    place = zone_place(zone, link)
    if link.opens_by == "hand":
        return f"Open {place} by hand {time}"
    if link.station is not None:
        return f"Run station {link.station}, {place}, {time}"
    return f"Run {place} {time}"


def _spits(expected: ZoneExpected | None) -> str:
    if expected is None or expected.fill_s is None:
        return "What is wrong shows now, and on the meter."
    seconds = display(expected.fill_s, "time", rounding="up", digits=0)
    return f"Its pipe fills first, about {seconds} of air; then what is wrong shows."


def _flow(expected: ZoneExpected | None) -> str:
    if expected is None or expected.heads == 0:
        return "What it should draw is unknown: no heads are recorded."
    if expected.flow_m3_per_s is None and expected.rated_m3_per_s is None:
        heads = ", ".join(expected.unknown)
        return f"What it should draw is unknown: enter the flow of {heads}."
    rated = _rated(expected)
    if expected.flow_m3_per_s is None:
        return f"Expect {rated}."
    most = "at most " if expected.at_most else "about "
    drawn = f"Expect {most}{both(expected.flow_m3_per_s, 'flow')}"
    return f"{drawn}; rated {rated}." if rated else f"{drawn}."


def _rated(expected: ZoneExpected) -> str:
    if expected.rated_m3_per_s is None:
        return ""
    at = ""
    if expected.rated_pa:
        low, high = expected.rated_pa[0], expected.rated_pa[-1]
        at = f" at {both(low, 'pressure')}"
        if high > low:
            at += f" to {both(high, 'pressure')}"
    heads = f"{expected.heads} heads" if expected.heads > 1 else "1 head"
    return f"{both(expected.rated_m3_per_s, 'flow')}, {heads}{at}"


def _last(flow_m3_per_s: float | None) -> str:
    if flow_m3_per_s is None:
        return ""
    return f"Last spring it drew {both(flow_m3_per_s, 'flow')}."


def _near(zone: Zone) -> str:
    return _ICE if {"path", "road"} & set(zone.near or ()) else ""

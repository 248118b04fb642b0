"""Rules that keep foreign water and air out of drinking water."""

from collections.abc import Iterator

from maintenance.engine.procedure.barriers import breaker_kind
from maintenance.engine.procedure.beginning import fed_in_summer
from maintenance.engine.procedure.elements import (
    COMPRESSOR,
    SHUTOFF_1,
    SHUTOFF_2,
    part_element,
)
from maintenance.engine.procedure.hazard import allowed_devices, rule_here
from maintenance.engine.procedure.piping import Gate
from maintenance.engine.procedure.rules.rule import Breach, Moment, Rule
from maintenance.engine.procedure.sources import is_public
from maintenance.engine.procedure.spread import spread
from maintenance.engine.procedure.ways import Barrier, blocks, fewest_shut


def _foreign_water(moment: Moment) -> Iterator[Breach]:
    piping = moment.piping
    for target in piping.supplies:
        if is_public(piping, target):
            yield from _other_sources(moment, target)
            yield from _bad_sections(moment, target)
            yield from _air(moment, target)
    fed = fed_in_summer(piping) if piping.users else ()
    for user, cell in piping.users.items():
        for source in moment.after.standing.sources_at(cell):
            if source not in fed[cell]:
                yield Breach(
                    ("pushes", source, user),
                    f"Water of {source} is pushed through the irrigation pipes into "
                    f"{user}.",
                )


def _other_sources(moment: Moment, target: str) -> Iterator[Breach]:
    piping, positions = moment.piping, moment.after.standing.positions
    goal = {piping.supplies[target]}
    stops = blocks(piping, *allowed_devices(piping))
    for source, start in piping.supplies.items():
        if is_public(piping, source):
            continue
        off = int(positions[source] != "on")
        way = fewest_shut(piping, positions, {start: off}, goal, stops)
        if way is None:
            continue
        if way.shut == 0:
            yield Breach(
                ("pushes", source, target),
                f"Water of {source} can get into {target} as the valves stand. "
                f"{rule_here(piping)[0]}",
            )
        # Also while it pushes: shutting a valve then adds nothing new.
        shut = ", ".join(way.valves) or "nothing"
        yield Breach(
            ("piped", source, target),
            f"{source} is parted from {target} only by what is shut ({shut}), and a shut "
            f"valve is no barrier. {rule_here(piping)[0]}",
        )


def _bad_sections(moment: Moment, target: str) -> Iterator[Breach]:
    piping, after = moment.piping, moment.after
    bad = {
        cell: 0
        for cell, contents in enumerate(after.contents)
        if contents.history == "not_potable" and contents.holds != "air"
    }
    goal = piping.supplies[target]
    if goal in bad:
        yield Breach(
            ("section", target), f"Water that is not fit to drink stands at {target}."
        )
        return
    way = fewest_shut(
        piping, after.standing.positions, bad, {goal}, blocks(piping, "RP", "AG")
    )
    if way is not None and way.shut == 0:
        yield Breach(
            ("section", target),
            f"{target} stands open to pipes whose last water was not fit to drink, with "
            "neither a reduced pressure assembly nor an air gap between.",
        )


def _air(moment: Moment, target: str) -> Iterator[Breach]:
    piping, standing = moment.piping, moment.after.standing
    if not standing.air:
        return
    positions = standing.positions
    usual = blocks(piping, "RP", "AG")

    def barrier(gate: Gate) -> int | None:
        if gate.kind == "assembly" and any(
            positions.get(part_element(gate.link, part)) == "closed"
            for part in (SHUTOFF_1, SHUTOFF_2)
        ):
            return None
        return usual(gate)

    way = _from_air(moment, target, barrier)
    if way is not None:
        yield Breach(
            ("air", target),
            f"The compressor is parted from {target} by no assembly: {way}.",
        )


def _from_air(moment: Moment, target: str, barrier: Barrier) -> str | None:
    standing = moment.after.standing
    starts = dict.fromkeys(standing.air, 0)
    goal = {moment.piping.supplies[target]}
    way = fewest_shut(moment.piping, standing.positions, starts, goal, barrier)
    if way is None:
        return None
    if way.shut == 0:
        return "nothing is shut between them, or only an assembly that air can press on"
    return f"only {', '.join(way.valves)} is shut, and a shut valve is no barrier"


def _two_sources(moment: Moment) -> Iterator[Breach]:
    piping, standing = moment.piping, moment.after.standing
    if len(piping.supplies) < 2:
        return
    fed = fed_in_summer(piping)
    drunk = {key for cell in piping.users.values() for key in fed[cell]}
    kinds = allowed_devices(piping)
    barred = tuple(
        0 if (a := piping.assembly(gate)) is not None and a.device in kinds else way
        for way, gate in zip(standing.passing, piping.gates, strict=True)
    )
    for good, start in piping.supplies.items():
        if not standing.reach[good] or not (is_public(piping, good) or good in drunk):
            continue
        unbarred = spread(piping, [start], barred) & standing.reach[good]
        for other, cells in standing.reach.items():
            if other == good or (is_public(piping, good) and is_public(piping, other)):
                continue
            both = unbarred & cells
            if both:
                at = standing.name(min(both))
                here = f" {rule_here(piping)[0]}" if is_public(piping, good) else ""
                yield Breach(
                    ("both", *sorted((good, other))),
                    f"{good} and {other} are both open to the section at {at}, and no "
                    f"assembly or air gap that would do keeps {good} apart.{here}",
                )


def _breakers(moment: Moment) -> Iterator[Breach]:
    piping, standing = moment.piping, moment.after.standing
    for gate in piping.gates:
        if breaker_kind(piping, gate) is None:
            continue
        if gate.end in standing.air:
            yield Breach(
                (COMPRESSOR, gate.link),
                f"Compressed air presses on the vacuum breaker at {gate.link}: shut it "
                "off on the side of the air, or drain that part instead.",
            )
        own = {key for key, cells in standing.reach.items() if gate.start in cells}
        for source, start in piping.supplies.items():
            if source in own or gate.end not in standing.reach[source]:
                continue
            if gate.end in spread(piping, [start], standing.passing):
                yield Breach(
                    (source, gate.link),
                    f"{source} presses on the vacuum breaker at {gate.link} from "
                    "behind; it stops only water drawn back from its own supply.",
                )


FOREIGN_WATER = Rule(
    "I1",
    "Nothing foreign can reach drinking water",
    "Between drinking water and another source, its water or a compressor stands an "
    "assembly or an air gap; shut valves do not count.",
    "danger",
    "US EPA, Cross-Connection Control Manual (2003), foreword; Texas 30 TAC 344.51(c)",
    _foreign_water,
)
TWO_SOURCES = Rule(
    "I2",
    "Never two sources on one section",
    "Two sources are never open to one section without a barrier on the one that is "
    "drunk.",
    "danger",
    "Texas 30 TAC 344.51(c); Virginia Plumbing Code 2009, 608.6.1",
    _two_sources,
)
BREAKERS_FREE = Rule(
    "I3",
    "No pressure behind a vacuum breaker but its own",
    "Behind a vacuum breaker stands no pressure but that of its own supply; air only "
    "with its shut-off closed.",
    "danger",
    "Texas 30 TAC 344.50",
    _breakers,
)

"""Whether foreign water can get into drinking water, as the valves stand or could.

Classes: *actual*, a pressure can push it there as the valves stand; *exposed*, it can
be drawn back as the valves stand; *potential*, only what is shut parts them, and a
shut valve is no barrier; *protected*, no way even with every valve open.

References
----------
US EPA, Cross-Connection Control Manual, EPA 816-R-03-002 (2003), foreword; Texas 30
TAC 344.50 and 344.51(c); WAC 246-290-490(4) (2022); Virginia Plumbing Code 2009,
608.6.1. Degree of hazard: irrigation counts as high unless the caller says low.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from maintenance.engine.procedure.barriers import (
    barrier_against_drawing_back,
    pressure_on_breakers,
)
from maintenance.engine.procedure.beginning import fed_in_summer
from maintenance.engine.procedure.elements import COMPRESSOR
from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.positions import Positions
from maintenance.engine.procedure.sections import stand
from maintenance.engine.procedure.sources import is_public
from maintenance.engine.procedure.ways import Way, blocks, fewest_shut

Grade = Literal["actual", "exposed", "potential", "protected"]
Degree = Literal["high", "low"]

_IRRIGATION: Final = frozenset(
    {"head", "checked_head", "quick_coupler", "hydrant", "automatic_drain"}
)
RULES_BY_PLACE: Final[Mapping[str, tuple[str, str]]] = {
    "prohibited": (
        (
            "Here a second source may not be piped to the public supply at all: part them "
            "for good, or by an air gap."
        ),
        "Virginia Plumbing Code 2009, 608.6.1",
    ),
    "rp_or_airgap": (
        (
            "Here a second source needs a reduced pressure assembly or an air gap on the "
            "public supply."
        ),
        "Texas 30 TAC 344.51(c)",
    ),
    "case_by_case": (
        (
            "Here the water supplier decides on a second source: ask before either is "
            "turned on."
        ),
        "local rule, as entered for this site",
    ),
}
ASK: Final = (
    (
        "No rule on a second source is entered for this site: ask the water supplier; until "
        "then a reduced pressure assembly or an air gap is taken as needed."
    ),
    "Texas 30 TAC 344.51(c)",
)


@dataclass(frozen=True, slots=True)
class Hazard:
    """One thing that could get into one supply or house line.

    ``what`` is a source, ``irrigation`` or ``compressor``; ``valves`` the fewest shut
    valves on the way and ``through`` which they are; ``held_off`` the fewest shut
    valves that keep pressure away from a vacuum breaker on the way. ``allowed`` says
    whether the site's rule on second sources is met, None where it says nothing.
    """

    what: str
    to: str
    grade: Grade
    valves: int | None
    through: tuple[str, ...]
    held_off: int | None
    allowed: bool | None
    text: str
    source: str


def rule_here(piping: Piping) -> tuple[str, str]:
    """Return the site's rule on second sources as a sentence, and its source.

    Parameters
    ----------
    piping : Piping
        The site. [-]

    Returns
    -------
    tuple of str and str
        Sentence and source. [-]
    """
    return RULES_BY_PLACE.get(piping.graph.site.cross_connection_rule or "", ASK)


def allowed_devices(piping: Piping) -> tuple[str, ...]:
    """Return the devices that may part a second source from the public supply.

    Parameters
    ----------
    piping : Piping
        The site. [-]

    Returns
    -------
    tuple of str
        Kinds of device; only the air gap where the rule prohibits the connection. [-]
    """
    if piping.graph.site.cross_connection_rule == "prohibited":
        return ("AG",)
    return ("RP", "AG")


def classify(
    piping: Piping, positions: Positions, *, degree: Degree = "high"
) -> tuple[Hazard, ...]:
    """Classify what could get into each public supply and each house line.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    positions : mapping of str to str
        Position of every element. [-]
    degree : str, optional
        Hazard of the irrigation water: a double check counts only where it is
        ``low``. Another source always counts as high. [-]

    Returns
    -------
    tuple of Hazard
        Other sources first, then irrigation water drawn back, then air. [-]
    """
    found: list[Hazard] = []
    for target, cell, own in _targets(piping):
        found.extend(_sources(piping, positions, target, cell, own))
        drawn = _drawn_back(piping, positions, target, cell, degree)
        found.extend([drawn] if drawn else [])
        found.extend(_air(piping, positions, target, cell))
    return tuple(found)


def _targets(piping: Piping) -> Iterator[tuple[str, int, frozenset[str]]]:
    """Yield each public supply and each other use, with the sources that may reach it."""
    for key, cell in piping.supplies.items():
        if is_public(piping, key):
            public = (k for k in piping.supplies if is_public(piping, k))
            yield key, cell, frozenset(public)
    fed = fed_in_summer(piping)
    for key, cell in piping.users.items():
        public = (k for k in piping.supplies if is_public(piping, k))
        yield key, cell, fed[cell] | frozenset(public)


def _sources(
    piping: Piping,
    positions: Positions,
    target: str,
    cell: int,
    own: frozenset[str],
) -> Iterator[Hazard]:
    stops = blocks(piping, "RP", "AG")
    for key, start in piping.supplies.items():
        if key in own:
            continue
        off = int(positions[key] != "on")
        way = fewest_shut(piping, positions, {start: off}, {cell}, stops)
        grade: Grade = "protected"
        if way is not None:
            grade = "potential" if way.shut else "actual"
        allowed = _allowed(piping, positions, start, target)
        rule, source = rule_here(piping)
        text = _source_text(key, target, grade, way)
        yield Hazard(
            key,
            target,
            grade,
            way.shut if way else None,
            way.valves if way else (),
            None,
            allowed,
            f"{text} {rule}" if allowed is False else text,
            source,
        )


def _allowed(
    piping: Piping, positions: Positions, start: int, target: str
) -> bool | None:
    if target not in piping.supplies:
        return None
    stops = blocks(piping, *allowed_devices(piping))
    goal = {piping.supplies[target]}
    return fewest_shut(piping, positions, {start: 0}, goal, stops) is None


def _source_text(key: str, target: str, grade: str, way: Way | None) -> str:
    if way is None:
        return (
            f"Water from {key} does not get past the assembly or air gap to {target}, "
            "whatever valve is opened."
        )
    if grade == "actual":
        return f"As the valves stand, {key} can push its water into {target}."
    return (
        f"Only what is shut ({', '.join(way.valves) or 'the source'}) keeps water of "
        f"{key} out of {target}, and a shut valve is no barrier."
    )


def _drawn_back(
    piping: Piping, positions: Positions, target: str, cell: int, degree: Degree
) -> Hazard | None:
    starts = {o.cell: 0 for o in piping.openings if o.kind in _IRRIGATION}
    starts |= {g.end: 0 for g in piping.gates if g.kind == "diaphragm"}
    if not starts:
        return None
    pressed = pressure_on_breakers(piping, positions)
    held_off = None
    stops = barrier_against_drawing_back(piping, degree, frozenset())
    way = fewest_shut(piping, positions, starts, {cell}, stops)
    if way is None:
        could_fail = frozenset(pressed)
        stops = barrier_against_drawing_back(piping, degree, could_fail)
        way = fewest_shut(piping, positions, starts, {cell}, stops)
        now = frozenset(link for link, shut in pressed.items() if shut == 0)
        stops = barrier_against_drawing_back(piping, degree, now)
        if way and fewest_shut(piping, positions, starts, {cell}, stops) is None:
            held_off = min(shut for shut in pressed.values() if shut)
    grade: Grade = "protected"
    if way is not None:
        grade = "potential" if way.shut or held_off else "exposed"
    return Hazard(
        "irrigation",
        target,
        grade,
        way.shut if way else None,
        way.valves if way else (),
        held_off,
        None,
        _drawn_back_text(target, grade, way, held_off),
        "WAC 246-290-490(4); Texas 30 TAC 344.50",
    )


def _drawn_back_text(
    target: str, grade: str, way: Way | None, held_off: int | None
) -> str:
    if way is None:
        return f"Irrigation water cannot be drawn back into {target}."
    if held_off:
        return (
            f"The vacuum breaker keeps irrigation water out of {target} only while no "
            "pump, compressor or higher water presses on it from behind."
        )
    if grade == "exposed":
        return f"As the valves stand, irrigation water can be drawn back into {target}."
    return (
        f"Only what is shut ({', '.join(way.valves)}) keeps irrigation water out of "
        f"{target}, and a shut valve is no barrier."
    )


def _air(
    piping: Piping, positions: Positions, target: str, cell: int
) -> Iterator[Hazard]:
    air = stand(piping, positions).air
    if not air:
        return
    way = fewest_shut(
        piping, positions, dict.fromkeys(air, 0), {cell}, blocks(piping, "RP", "AG")
    )
    grade: Grade = "protected"
    if way is not None:
        grade = "potential" if way.shut else "actual"
    yield Hazard(
        COMPRESSOR,
        target,
        grade,
        way.shut if way else None,
        way.valves if way else (),
        None,
        None,
        _source_text("the compressor", target, grade, way),
        "US EPA, Cross-Connection Control Manual (2003)",
    )

"""The parts of an outlook gathered: those that nothing tells apart, and by kind."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Final

from maintenance.documents.drawing.odds_lines import Odds, OddsLine
from maintenance.engine.climate.alert import Alert
from maintenance.engine.climate.mixed_law import fit_mixed_law
from maintenance.engine.climate.part_dates import Reach, reach_of
from maintenance.engine.climate.part_nights import Tonight
from maintenance.engine.climate.season_day import season_day
from maintenance.engine.climate.site_outlook import PartOutlook, SiteOutlook
from maintenance.engine.freezing.kinds import LARGE_BARE_K, SMALL_BARE_K, WRAPPED_K
from maintenance.engine.freezing.part_at_risk import PartAtRisk
from maintenance.engine.units import UnitSystem, display

KINDS: Final = {
    "assembly": ("backflow assembly", "backflow assemblies"),
    "zone_valve": ("zone valve", "zone valves"),
    "pump": ("pump", "pumps"),
    "quick_coupler": ("quick coupler", "quick couplers"),
    "hydrant": ("hydrant", "hydrants"),
    "blowout_port": ("blow-out port", "blow-out ports"),
    "pipe": ("pipe above ground", "pipes above ground"),
    "buried_pipe": ("buried pipe", "buried pipes"),
}
GROUND: Final = {"turf": "turf", "bare": "bare soil", "paved": "paving"}
_IN_AIR: Final = (
    (SMALL_BARE_K, "small bare parts above ground", "small, bare"),
    (LARGE_BARE_K, "large bare parts above ground", "large, bare"),
    (WRAPPED_K, "wrapped parts above ground", "wrapped"),
)
_SAME_K: Final = 0.01


@dataclass(frozen=True, slots=True)
class Alike:
    """Parts that nothing tells apart; ``one`` stands for all of them."""

    one: PartOutlook
    parts: tuple[str, ...]

    @property
    def name(self) -> str:
        """How many of which kind."""
        single, several = KINDS[self.one.part.kind]
        count = len(self.parts)
        return single if count == 1 else f"{count} {several}"


def alike_parts(found: SiteOutlook) -> list[Alike]:
    """Gather equal parts, the most urgent first."""
    Key = tuple[str, Reach, Alert, Tonight | None]
    groups: dict[Key, list[PartOutlook]] = {}
    for each in found.parts:
        key = (each.part.kind, reach_of(each.part), each.alert, each.tonight)
        groups.setdefault(key, []).append(each)
    found_alike = [
        Alike(parts[0], tuple(each.part.part for each in parts))
        for parts in groups.values()
    ]
    return sorted(found_alike, key=_urgency)


def _urgency(alike: Alike) -> tuple[float, ...]:
    each = alike.one
    ice = 0.0 if each.tonight is None else each.tonight.ice_fraction
    days = () if each.dates is None else tuple(each.dates.days.values())
    numbers = (math.inf if day is None else day for day in days)
    known = 0.0 if each.dates is not None else 1.0
    return (-each.alert.level, -ice, known, *numbers)


def harmed_at(part: PartAtRisk, system: UnitSystem) -> str:
    """Say what has to come for a part to be harmed."""
    if part.threshold_of == "night_air":
        return f"a night at {display(part.threshold_k, 'temperature', system)}"
    if part.threshold_of == "box_air":
        return "frost in its box"
    if part.depth_m is None:
        return "depth not recorded"
    depth = display(part.depth_m, "depth", system)
    return f"frost {depth} deep, {_ground(part)}"


def odds_of(found: SiteOutlook, system: UnitSystem) -> Odds:
    """Return a line for each kind of part, in the order in which the frost comes.

    Of buried pipes under one cover the shallowest is drawn, which freezes first.
    """
    kinds: dict[object, list[PartOutlook]] = {}
    for each in found.parts:
        if each.dates is not None and fit_mixed_law(each.dates.numbers).n_with > 1:
            kinds.setdefault(_kind(each.part), []).append(each)
    firsts = [(min(parts, key=_depth), parts) for parts in kinds.values()]
    firsts.sort(key=lambda pair: _median(pair[0]))
    lines = tuple(
        OddsLine(
            letter=letter,
            name=_name(first.part, parts, system),
            short=_short(first.part),
            law=fit_mixed_law(first.dates.numbers),
        )
        for letter, (first, parts) in zip(ascii_uppercase, firsts, strict=False)
        if first.dates is not None
    )
    return Odds(begin=season_day(found.today)[0], today=found.today, lines=lines)


def not_drawn(found: SiteOutlook) -> int:
    """Count the parts that frost reached in fewer than two seasons, or never."""
    return sum(
        each.dates is not None and fit_mixed_law(each.dates.numbers).n_with < 2
        for each in found.parts
    )


def _kind(part: PartAtRisk) -> object:
    if part.threshold_of == "soil":
        return (part.threshold_of, part.cover)
    return (part.threshold_of, round(part.threshold_k, 2))


def _depth(each: PartOutlook) -> float:
    return each.part.depth_m or 0.0


def _median(each: PartOutlook) -> float:
    law = None if each.dates is None else fit_mixed_law(each.dates.numbers)
    return math.inf if law is None or law.mean_day is None else law.mean_day


def _name(part: PartAtRisk, parts: Sequence[PartOutlook], system: UnitSystem) -> str:
    if part.threshold_of == "soil":
        depth = display(part.depth_m or 0.0, "depth", system)
        return f"pipes {depth} under {_ground(part)}"
    return f"{_class(part)[0]} ({len(parts)})"


def _short(part: PartAtRisk) -> str:
    return _ground(part) if part.threshold_of == "soil" else _class(part)[1]


def _class(part: PartAtRisk) -> tuple[str, str]:
    if part.threshold_of == "box_air":
        return ("parts in boxes", "boxes")
    for threshold_k, name, short in _IN_AIR:
        if abs(part.threshold_k - threshold_k) < _SAME_K:
            return (name, short)
    return ("parts above ground", "above ground")


def _ground(part: PartAtRisk) -> str:
    return GROUND.get(part.cover or "", part.cover or "ground")

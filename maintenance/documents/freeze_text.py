"""A freeze outlook, as plain text for a terminal."""

import math
from collections.abc import Iterator
from typing import Final

from maintenance.documents.freeze_dates_text import day_and_month
from maintenance.documents.text_blocks import columns, listed
from maintenance.engine.climate.frost_depths import frost_depths
from maintenance.engine.climate.outlook_figures import chance_to_act_at
from maintenance.engine.climate.outlook_report import why_level
from maintenance.engine.climate.outlook_warnings import outlook_warnings
from maintenance.engine.climate.part_dates import CHANCES
from maintenance.engine.climate.site_outlook import PartOutlook, SiteOutlook
from maintenance.engine.climate.spring_start import spring_start
from maintenance.engine.units import UnitSystem, display

ACTS: Final = {
    "wait": "Wait.",
    "shut_down": "Shut down now.",
    "drain_exposed": "Drain or cover what stands out, today.",
    "none": "No advice.",
}
KINDS: Final = {
    "assembly": "backflow assembly",
    "zone_valve": "zone valve",
    "pump": "pump",
    "quick_coupler": "quick coupler",
    "hydrant": "hydrant",
    "blowout_port": "blow-out port",
    "pipe": "pipe above ground",
    "buried_pipe": "buried pipe",
}
CAUTION: Final = (
    "A forecast can be wrong, and hollows are colder than stations: look at the spot. "
    "Local codes and licensed practice come first."
)
MOST_NAMED: Final = 4
MOST_REASONS: Final = 12
LAST_SPRING_MONTH: Final = 5
HOLDS: Final = {True: "holds", False: "lacks", None: "not known"}


def freeze_text(found: SiteOutlook, system: UnitSystem = "us") -> str:
    """Write what to do first, then what freezes first, and the doubts."""
    blocks = [
        f"Freeze outlook of {found.site.name}, {found.today}{_age(found)}",
        _advice(found),
        _parts(found, system),
        _frost(found, system),
        _spring(found),
        listed("Why", _reasons(found)),
        listed("Look at", (each.text for each in outlook_warnings(found))),
        _method(found),
        CAUTION,
    ]
    return "\n\n".join(block for block in blocks if block)


def _age(found: SiteOutlook) -> str:
    if found.age_s is None:
        return ", no forecast"
    return f", forecast {found.age_s / 3600.0:.0f} h old"


def _advice(found: SiteOutlook) -> str:
    advice = found.advice
    lines = [f"{ACTS[advice.act]} {advice.reason}"]
    if advice.shutdown_by is not None:
        lines.append(f"Shut down by {advice.shutdown_by:%-d %b %Y}.{_forgone(found)}")
    return "\n".join(lines)


def _forgone(found: SiteOutlook) -> str:
    days = found.advice.days_of_watering_forgone
    if days is None:
        return ""
    return f" That gives up {days:.0f} days of watering in the mean of past seasons."


def _parts(found: SiteOutlook, system: UnitSystem) -> str:
    if not found.parts:
        return ""
    lines: list[tuple[str, ...]] = [
        (
            *("part", "kind", "harmed at"),
            *(f"{chance} %" for chance in CHANCES),
            *("first ice", "half ice", "most ice", "level"),
        )
    ]
    # Parts that nothing tells apart stand in one line, the most urgent first.
    alike: dict[tuple[str, ...], list[str]] = {}
    for each in sorted(found.parts, key=_urgency):
        alike.setdefault(_cells(each, system), []).append(each.part.part)
    lines += [(_named(parts), *cells) for cells, parts in alike.items()]
    told = (
        "Dates: by then it has come to harm in so many years of a hundred. Hours: from "
        "now, within a day. Level: 0 calm, 1 watch, 2 act, 3 ice tonight, 4 damage "
        "possible."
    )
    return f"What freezes first\n{columns(lines)}\n{told}"


def _frost(found: SiteOutlook, system: UnitSystem) -> str:
    depths = {} if found.dates is None else frost_depths(found.dates)
    return listed(
        "Frost in the ground", (each.told(system) for each in depths.values())
    )


def _spring(found: SiteOutlook) -> str:
    """From January to May: when to fill, and which of three reasons speaks against."""
    if found.today.month > LAST_SPRING_MONTH:
        return ""
    start = spring_start(found)
    title = "Filling in spring: what it hangs on is not all known."
    if start.earliest is not None:
        title = f"Filling in spring: not before {start.earliest:%-d %b %Y}."
        if start.holds:
            title = "Filling in spring: all three conditions hold today."
    return listed(
        title, (f"{HOLDS[each.holds]}: {each.text}" for each in start.conditions)
    )


def _urgency(each: PartOutlook) -> tuple[int, float, float]:
    tenth = None if each.dates is None else each.dates.days[10]
    ice = 0.0 if each.tonight is None else each.tonight.ice_fraction
    return -each.alert.level, -ice, math.inf if tenth is None else tenth


def _cells(each: PartOutlook, system: UnitSystem) -> tuple[str, ...]:
    part, night = each.part, each.tonight
    harmed = {
        "night_air": display(part.threshold_k, "temperature", system, digits=0),
        "box_air": "frost in box",
        "soil": "depth unknown"
        if part.depth_m is None
        else f"{display(part.depth_m, 'diameter', system, digits=0)} deep",
    }[part.threshold_of]
    days = dict.fromkeys(CHANCES) if each.dates is None else each.dates.days
    hours = ("-", "-", "-")
    if night is not None:
        hours = (
            _hours(night.first_ice_s),
            _hours(night.half_frozen_s),
            f"{100.0 * night.ice_fraction:.0f} %",
        )
    dates = (day_and_month(days[chance], "fall") for chance in CHANCES)
    return (KINDS[part.kind], harmed, *dates, *hours, str(each.alert.level))


def _hours(seconds: float | None) -> str:
    if seconds is None:
        return "-"
    return f"{math.floor(seconds / 3600.0)} h" if seconds >= 3600.0 else "under 1 h"


def _named(parts: list[str]) -> str:
    if len(parts) <= MOST_NAMED:
        return ", ".join(parts)
    return (
        f"{', '.join(parts[: MOST_NAMED - 1])} and {len(parts) - MOST_NAMED + 1} more"
    )


def _reasons(found: SiteOutlook) -> Iterator[str]:
    reasons: dict[str, list[str]] = {}
    for each in sorted(found.parts, key=_urgency):
        reasons.setdefault(why_level(each, found), []).append(each.part.part)
    for text, parts in list(reasons.items())[:MOST_REASONS]:
        yield f"{_named(parts)}: {text}"
    if len(reasons) > MOST_REASONS:
        yield f"and {len(reasons) - MOST_REASONS} more (all are in --json)"


def _method(found: SiteOutlook) -> str:
    figure = chance_to_act_at(found)
    return listed(
        "How the advice was worked out",
        (
            f"{figure.method}: {figure.value:.2f} here.",
            f"Source: {'; '.join(figure.sources)}.",
            f"Assumed: {'; '.join(figure.assumptions)}.",
        ),
    )

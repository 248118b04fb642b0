"""What waiting costs, when spring may begin, how deep the frost goes: with method."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import ceil
from typing import Final

from maintenance.documents.outlook_dates import day_words, record_words
from maintenance.documents.outlook_kinds import GROUND
from maintenance.documents.outlook_night import share_words
from maintenance.documents.outlook_notes import Notes, Told
from maintenance.documents.outlook_units import in_units
from maintenance.engine.climate.frost_depths import UNCERTAINTY, frost_depths
from maintenance.engine.climate.part_dates import SiteDates
from maintenance.engine.climate.site_outlook import SiteOutlook
from maintenance.engine.climate.spring_start import CHANCE, SpringStart, spring_start
from maintenance.engine.climate.waiting import Waiting, WaitingRow
from maintenance.engine.figure import Figure, Input
from maintenance.engine.units import UnitSystem, display

MOST_ROWS: Final = 10
SPRING_MONTHS: Final = (1, 5)
"""From January to May people ask when to fill."""

_WAITING: Final = (
    "The chance that frost has harmed the part before that day, among the past seasons "
    "in which it had not come before today: the mixed law of its dates; no forecast"
)
_COST: Final = (
    "What is expected to be lost less what watering is worth until then: damage, less "
    "what hurrying out saves, times its chance, less each day's watering times the "
    "chance that no frost has come"
)
_SPRING: Final = (
    "The latest of three: the day after which the last night at or below 28 °F comes in "
    "one year of ten; soil at the pipes above 33 °F for a week in nine winters of ten; no "
    "night in the forecast that harms a part"
)
_DEPTH: Final = (
    "The deepest frost of each winter of the record, followed day by day through loam "
    "without snow and sun; one winter of ten by rank, i/(n + 1)"
)
_FORGONE: Final = (
    "The mean over past seasons of the days from the shutdown to the day before the "
    "frost, where that had not come before today and came after the shutdown"
)
_HOLDS: Final = {True: "holds", False: "not yet", None: "not known"}
_CONDITIONS: Final = {
    "last_freeze": "Last freeze",
    "soil": "Soil at the pipes",
    "forecast": "Week ahead",
}


@dataclass(frozen=True, slots=True)
class WaitingLine:
    """One day to shut down on, as the page tells it."""

    day: date
    chance: Told
    watering_days: int
    cost: Told | None
    best: bool


@dataclass(frozen=True, slots=True)
class SpringLine:
    """One of the conditions of spring: its name, whether it holds, since when, why."""

    name: str
    state: str
    since: date | None
    text: str


def waiting_lines(waiting: Waiting, notes: Notes) -> list[WaitingLine]:
    """Tell every few days, the first, the last and the best among them."""
    lines = []
    for row in _some(waiting.rows, waiting.best):
        chance = Figure(
            row.chance,
            "number",
            _WAITING,
            sources=("Mixed law: Thom 1959, from memory",),
            inputs=(Input("part", waiting.part, "the first that frost comes to"),),
        )
        cost = None
        if row.expected_cost is not None:
            figure = Figure(
                row.expected_cost,
                "number",
                _COST,
                sources=("Cost-loss model (Murphy), as told in encyclopaedias",),
                inputs=(
                    Input("chance", share_words(row.chance), "worked out"),
                    Input("days of watering", str(row.watering_days), "counted"),
                ),
            )
            text = f"{row.expected_cost:,.0f}".replace("-", "−")
            cost = notes.told("Expected cost", text, figure)
        lines.append(
            WaitingLine(
                row.day,
                notes.told(
                    "Chance of damage by waiting", share_words(row.chance), chance
                ),
                row.watering_days,
                cost,
                row.day == waiting.best,
            )
        )
    return lines


def spring_of(found: SiteOutlook) -> SpringStart | None:
    """Return the rule of spring; None outside January to May."""
    if not SPRING_MONTHS[0] <= found.today.month <= SPRING_MONTHS[1]:
        return None
    return spring_start(found)


def spring_lines(
    spring: SpringStart, found: SiteOutlook, notes: Notes, system: UnitSystem
) -> tuple[Told, list[SpringLine]]:
    """Tell when the site may be filled, and what decides it."""
    lines = [
        SpringLine(
            _CONDITIONS[each.name],
            _HOLDS[each.holds],
            each.since,
            in_units(each.text, system),
        )
        for each in spring.conditions
    ]
    text = "not known" if spring.earliest is None else day_words(spring.earliest)
    days = None if spring.earliest is None else (spring.earliest - found.today).days
    figure = Figure(
        None if days is None else float(days),
        "number",
        _SPRING,
        sources=("Rule of this project, tried on three records",),
        inputs=tuple(Input(each.name, each.state, each.text) for each in lines),
        assumptions=(f"a chance of {share_words(CHANCE)} is accepted in each",),
        missing="Too little is known: see what is not known below.",
    )
    return notes.told("Filling in spring", text, figure), lines


def depth_told(
    dates: SiteDates, notes: Notes, system: UnitSystem
) -> tuple[str, Told] | None:
    """Tell how deep the frost goes in one winter of ten, and under which cover.

    Of several covers the deepest counts; None where nothing tells.
    """
    known = [each for each in frost_depths(dates).values() if each.one_in_ten_m]
    depth = max(known, key=lambda each: each.one_in_ten_m or 0.0, default=None)
    if depth is None:
        return None
    figure = Figure(
        depth.one_in_ten_m,
        "depth",
        _DEPTH,
        inputs=(
            Input("record", record_words(dates.record), "station"),
            Input("winters", str(depth.winters), "counted"),
            Input("deepest", display(depth.deepest_m, "depth", system), "worked out"),
        ),
        assumptions=(
            (
                f"no soil of the site was measured: good to {100 * UNCERTAINTY:.0f} %, which "
                "the map of water left adds"
            ),
        ),
        rounding="up",
    )
    told = notes.told("Depth of frost", figure.text(system), figure)
    return GROUND.get(depth.cover, depth.cover), told


def forgone_told(found: SiteOutlook, notes: Notes) -> Told | None:
    """Tell what the shutdown gives up; None where no record tells."""
    days = found.advice.days_of_watering_forgone
    if days is None:
        return None
    figure = Figure(days, "number", _FORGONE)
    text = f"{days:.0f} day{'' if round(days) == 1 else 's'} of watering"
    return notes.told("Watering given up", text, figure)


def _some(rows: Sequence[WaitingRow], best: date | None) -> list[WaitingRow]:
    step = max(1, ceil(len(rows) / MOST_ROWS))
    last = len(rows) - 1
    return [
        row
        for at, row in enumerate(rows)
        if at % step == 0 or at == last or row.day == best
    ]

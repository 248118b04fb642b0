"""A list beside the one of the year before: what differs, in words."""

from dataclasses import dataclass
from typing import Any, cast

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from maintenance.documents.season_words import counted, list_title, season_name
from maintenance.documents.season_years import step_difference, zone_difference
from maintenance.engine.errors import InputError
from maintenance.engine.procedure.step import Season
from maintenance.engine.units import UnitSystem
from maintenance.services.seasons.beside import (
    StepBeside,
    TwoYears,
    ZoneBeside,
    this_year_beside_last,
)
from maintenance.services.seasons.read_lists import SEASON_NAMES
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page
from maintenance.web.units import system_of
from maintenance.web.views.sites import line_of


@dataclass(frozen=True, slots=True)
class _StepRow:
    """A step of both years, and how it differs."""

    beside: StepBeside
    differs: tuple[str, ...]

    @property
    def told(self) -> bool:
        """Whether something was read, timed or skipped in either year."""
        reports = [
            line.report
            for line in (self.beside.this, self.beside.last)
            if line is not None and line.report is not None
        ]
        return any(
            each.reading.text or each.seconds is not None or each.outcome == "skipped"
            for each in reports
        )


@dataclass(frozen=True, slots=True)
class _ZoneRow:
    """A zone of both years, and how it differs."""

    beside: ZoneBeside
    differs: str


@require_safe
@answered
def season_years(request: HttpRequest, key: str) -> HttpResponse:
    """Show the newest list of a season beside the one before it."""
    account, system = account_of(request), system_of(request)
    line = line_of(account, key)
    season = _season(request.GET.get("season", "shutdown"))
    both = this_year_beside_last(account, site_key=key, season=season)
    context: dict[str, Any] = {
        "line": line,
        "season": season,
        "name": season_name(season),
        "seasons": [(each, season_name(cast("Season", each))) for each in SEASON_NAMES],
        "both": both,
    }
    if both is not None and both.last is not None:
        context |= _compared(both, system)
    return show_page(request, "season_years.html", context)


def _season(asked: str) -> Season:
    if asked not in SEASON_NAMES:
        raise InputError(
            f'"{asked}" is no season: choose one of {", ".join(SEASON_NAMES)}.'
        )
    return cast("Season", asked)


def _compared(both: TwoYears, system: UnitSystem) -> dict[str, Any]:
    steps = [_StepRow(each, step_difference(each, system)) for each in both.steps]
    zones = [_ZoneRow(each, zone_difference(each)) for each in both.zones]
    shown = [row for row in steps if row.differs or row.told]
    return {
        "this": list_title(both.this),
        "last": list_title(both.last) if both.last else "",
        "steps": shown,
        "alike": [row for row in steps if row not in shown],
        "zones": zones,
        "zones_differ": any(row.differs for row in zones),
        "zone_tables": (
            ([row for row in zones if row.differs], False),
            ([row for row in zones if not row.differs], True),
        ),
        "answer": _answer(steps, zones),
    }


def _answer(steps: list[_StepRow], zones: list[_ZoneRow]) -> str:
    step_count = sum(bool(row.differs) for row in steps)
    zone_count = sum(bool(row.differs) for row in zones)
    if not step_count and not zone_count:
        return "Nothing differs from last year so far."
    parts = [
        counted(number, what)
        for number, what in ((step_count, "step"), (zone_count, "zone"))
        if number
    ]
    verb = "differs" if step_count + zone_count == 1 else "differ"
    return f"{' and '.join(parts)} {verb} from last year."

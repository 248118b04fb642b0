"""The questions about visits of many sites; each tells how many queries it takes."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Final

from django.db.models import Count, F, Q, QuerySet

from maintenance.models import Account, Visit, ZoneOutcome
from maintenance.services.visits.choose import (
    PAGE,
    VisitChoice,
    behind_place,
    chosen_visits,
    next_place,
    under_way,
)
from maintenance.services.visits.offered import areas, workers_and_undated

_COLUMNS: Final = (
    *("pk", "kind", "season_year", "planned_on", "window", "worker", "state"),
    *("outcome", "call_id"),
)
_BESIDE: Final = {
    "site_key": F("site__key"),
    "site_name": F("site__name"),
    "asked": F("call__what"),
    "urgency": F("call__urgency"),
    "promised_by": F("call__promised_by"),
    "brings": F("compressor__label"),
    "brings_key": F("compressor__key"),
    "frost": F("site__outlook__level"),
    "frost_chance": F("site__outlook__chance"),
    "frost_day": F("site__outlook__planning_date"),
    "air": F("site__air_need__need"),
}
_OF_INVOICE: Final = (
    *("arrived_at", "left_at", "outcome_note", "parts_used", "readings"),
    "season_list_id",
)
IN_ONE_GO: Final = 2000
"""Lines of a file that are read at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitLine:
    """A visit in a list.

    ``frost`` and what stands behind it, and ``air``, are None until worked out.
    """

    pk: int
    site_key: str
    site_name: str
    kind: str
    season_year: int | None
    planned_on: date | None
    window: str
    worker: str
    state: str
    outcome: str
    call_id: int | None
    asked: str | None
    urgency: str | None
    promised_by: date | None
    brings: str | None
    brings_key: str | None
    frost: int | None
    frost_chance: float | None
    frost_day: date | None
    air: str | None

    @property
    def level(self) -> int | None:
        """The level of the freeze outlook; None where nothing stands behind it."""
        return known_level(self.frost, self.frost_chance, self.frost_day)


@dataclass(frozen=True, slots=True)
class VisitPage:
    """One page of visits; ``next`` asks for the page after it.

    ``workers`` and ``areas`` are what a choice may ask for.
    """

    lines: tuple[VisitLine, ...]
    under_way: tuple[VisitLine, ...]
    next: VisitChoice | None
    workers: tuple[str, ...]
    areas: tuple[str, ...]
    undated: int


@dataclass(frozen=True, slots=True, kw_only=True)
class InvoiceLine:
    """A visit with what a bill needs; zones of its list that ended done, of all."""

    line: VisitLine
    time_zone: str
    arrived_at: datetime | None
    left_at: datetime | None
    outcome_note: str
    parts_used: str
    readings: Mapping[str, Mapping[str, Any]]
    zones: int | None
    zones_done: int | None


def known_level(
    level: int | None, chance: float | None, planning_date: date | None
) -> int | None:
    """Return a level as it is known: calm without a date or a chance is not."""
    nothing = chance is None and planning_date is None
    return None if level == 0 and nothing else level


def visit_page(account: Account, choice: VisitChoice, *, today: date) -> VisitPage:
    """Return one page of the visits that are asked for, in at most four queries."""
    rows = _read(account, choice, today, PAGE + 1)
    now_on = (
        [*_values(under_way(account, choice))[:PAGE]]
        if choice.state == "planned" and not choice.due and not choice.after
        else []
    )
    more = len(rows) > PAGE
    workers, undated = workers_and_undated(account)
    return VisitPage(
        lines=tuple(VisitLine(**row) for row in rows[:PAGE]),
        under_way=tuple(VisitLine(**row) for row in now_on),
        next=next_place(choice, rows[PAGE - 1]) if more else None,
        workers=workers,
        areas=areas(account),
        undated=undated,
    )


def visit_lines(rows: QuerySet[Visit]) -> list[VisitLine]:
    """Return visits as lines of a list, in one query."""
    return [VisitLine(**row) for row in _values(rows)]


def invoice_lines(
    account: Account, choice: VisitChoice, *, today: date
) -> Iterator[InvoiceLine]:
    """Give all visits that are asked for, in three queries for each 2000."""
    while True:
        told = _read(
            account,
            choice,
            today,
            IN_ONE_GO,
            *_OF_INVOICE,
            zone=F("site__time_zone"),
        )
        if not told:
            return
        choice = next_place(choice, told[-1])
        yield from _with_zones(told)


def _read(
    account: Account,
    choice: VisitChoice,
    today: date,
    at_most: int,
    *more: str,
    **beside: F,
) -> list[dict[str, Any]]:
    """Read what follows the place of a choice, in two queries at most."""
    found: list[dict[str, Any]] = []
    for rows in behind_place(chosen_visits(account, choice, today=today), choice):
        if len(found) < at_most:
            found += _values(rows, *more, **beside)[: at_most - len(found)]
    return found


def _values(
    rows: QuerySet[Visit], *more: str, **beside: F
) -> QuerySet[Visit, dict[str, Any]]:
    told: QuerySet[Visit, dict[str, Any]] = rows.values(
        *_COLUMNS, *more, **_BESIDE, **beside
    )
    return told


def _with_zones(told: Iterable[dict[str, Any]]) -> Iterator[InvoiceLine]:
    rows = list(told)
    lists = {row["season_list_id"] for row in rows} - {None}
    counts = {
        key: (total, done)
        for key, total, done in ZoneOutcome.objects.filter(
            list__in=lists, retired_at=None
        )
        .values_list("list")
        .annotate(total=Count("pk"), done=Count("pk", filter=Q(outcome="done")))
    }
    for row in rows:
        total, done = counts.get(row.pop("season_list_id"), (None, None))
        kept = {name: row.pop(name) for name in _OF_INVOICE[:-1]}
        zone = row.pop("zone")
        line = VisitLine(**row)
        yield InvoiceLine(
            line=line, time_zone=zone, zones=total, zones_done=done, **kept
        )

"""Visits as a table for invoicing; a spreadsheet takes no text of it for a formula."""

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, tzinfo
from typing import Any, Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from maintenance.exchange.csv_cells import csv_text
from maintenance.services.visits.carry_out import readings_text
from maintenance.services.visits.queries import InvoiceLine
from maintenance.services.visits.words import KINDS, OUTCOMES, STATES

COLUMNS: Final = (
    *("visit", "site", "site_name", "kind", "year", "planned_on", "worker", "state"),
    *("outcome", "arrived", "left", "minutes", "zones", "zones_done", "parts_used"),
    *("readings", "note", "call", "asked_for"),
)


def csv_of_visits(lines: Iterable[InvoiceLine]) -> str:
    """Write visits, one to a line; times are those of the clock at the site."""
    return csv_text(COLUMNS, (_row(each) for each in lines))


def _row(each: InvoiceLine) -> Mapping[str, Any]:
    line, zone = each.line, _zone(each.time_zone)
    return {
        "visit": line.pk,
        "site": line.site_key,
        "site_name": line.site_name,
        "kind": KINDS[line.kind],
        "year": line.season_year,
        "planned_on": line.planned_on,
        "worker": line.worker,
        "state": STATES[line.state],
        "outcome": OUTCOMES.get(line.outcome, ""),
        "arrived": _local(each.arrived_at, zone),
        "left": _local(each.left_at, zone),
        "minutes": _minutes(each),
        "zones": each.zones,
        "zones_done": each.zones_done,
        "parts_used": each.parts_used,
        "readings": readings_text(each.readings),
        "note": each.outcome_note,
        "call": line.call_id,
        "asked_for": line.asked or "",
    }


def _minutes(each: InvoiceLine) -> int | None:
    if each.arrived_at is None or each.left_at is None:
        return None
    return round((each.left_at - each.arrived_at).total_seconds() / 60)


def _local(at: datetime | None, zone: tzinfo) -> str:
    return at.astimezone(zone).isoformat(timespec="minutes") if at else ""


def _zone(name: str) -> tzinfo:
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError):
        return UTC

"""The sites in the list by exposure, in words, and which of them are asked for."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from maintenance.documents.outlook_dates import day_words
from maintenance.documents.outlook_night import share_words
from maintenance.documents.outlook_words import (
    LEVELS,
    Level,
    age_words,
    level_words,
    short_advice,
)
from maintenance.services.weather.queries import OutlookLine
from maintenance.web.local_times import local_words

MOST_SHOWN: Final = 200
"""More sites than a person reads; the others are found by level or name."""

MISSING: Final = "missing"
SHOWN: Final = (
    ("", "all sites"),
    *((str(level), LEVELS[level]) for level in (4, 3, 2, 1, 0)),
    ("unknown", "not known"),
    (MISSING, "without an outlook"),
)


@dataclass(frozen=True, slots=True)
class SiteRow:
    """One site as the list tells it; ``lacks`` names what it is without."""

    key: str
    name: str
    level: Level | None
    advice: str
    first_ice: str
    chance: str
    planning: str
    age: str
    station: str
    lacks: str


@dataclass(frozen=True, slots=True)
class Asked:
    """What a person asked to see: a level, and a piece of the name."""

    show: str = ""
    name: str = ""


def site_rows(
    lines: Sequence[OutlookLine], asked: Asked, *, now: datetime
) -> list[SiteRow]:
    """Return the rows asked for, in the order of the lines."""
    part = asked.name.casefold()
    return [
        _row(line, now)
        for line in lines
        if part in line.name.casefold() and _is_shown(line, asked.show)
    ]


def answer_of(lines: Sequence[OutlookLine]) -> str:
    """Say how many sites are at which level, and how many have no outlook."""
    if not lines:
        return "There is no site yet."
    words = Counter(_level(line).word for line in lines if line.outlook)
    told = [
        f"{words[word]} {word}"
        for word in (*reversed(LEVELS), "not known")
        if words[word]
    ]
    if without := sum(line.outlook is None for line in lines):
        told.append(f"{without} without an outlook")
    sites = f"{len(lines)} site{'' if len(lines) == 1 else 's'}"
    return f"{sites}: {', '.join(told)}."


def _is_shown(line: OutlookLine, show: str) -> bool:
    if not show:
        return True
    if line.outlook is None:
        return show == MISSING
    return _level(line).mark == show


def _level(line: OutlookLine) -> Level:
    found = line.outlook
    if found is None:
        return level_words(0, known=False)
    known = found.forecast_received_at is not None or found.planning_date is not None
    return level_words(found.level, known=known)


def _row(line: OutlookLine, now: datetime) -> SiteRow:
    found = line.outlook
    station = line.station or "no station"
    if found is None:
        lacks = "not worked out yet" + ("" if line.station else ", no station attached")
        return SiteRow(line.key, line.name, None, "", "", "", "", "", station, lacks)
    by = day_words(found.shutdown_by) if found.shutdown_by else ""
    received = found.forecast_received_at
    return SiteRow(
        key=line.key,
        name=line.name,
        level=_level(line),
        advice=short_advice(found.act, by),
        first_ice=_first_ice(line, now),
        chance="not known" if found.chance is None else share_words(found.chance),
        planning=day_words(found.planning_date) if found.planning_date else "not known",
        age="no forecast"
        if received is None
        else age_words((now - received).total_seconds()),
        station=station,
        lacks=_doubts(line, now),
    )


def _first_ice(line: OutlookLine, now: datetime) -> str:
    found = line.outlook
    if found is None or found.forecast_received_at is None:
        return "not known"
    if found.first_ice_at is None:
        return "not within 24 h"
    told = local_words(found.first_ice_at, line.time_zone)
    return told if found.first_ice_at > now else f"{told}, past"


def _doubts(line: OutlookLine, now: datetime) -> str:
    """Say when the outlook is from, and whether the site has changed since."""
    found = line.outlook
    if found is None:
        return ""
    told = f"worked out {local_words(found.worked_out_at, line.time_zone)}"
    if (now - found.worked_out_at).total_seconds() > _A_DAY_S:
        told += ", out of date"
    return f"{told}; the site has changed since" if line.stale else told


_A_DAY_S: Final = 86_400.0

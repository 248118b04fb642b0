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
from maintenance.engine.climate.forecast import NO_TRUST_AFTER_S
from maintenance.services.weather.queries import OutlookLine
from maintenance.web.local_times import local_words

MOST_SHOWN: Final = 200
"""More sites than a person reads; the others are found by level or name."""

MISSING: Final = "missing"
SHOWN: Final = (
    ("", "all sites"),
    *((str(level), LEVELS[level]) for level in (4, 3, 2, 1, 0)),
    (MISSING, "nothing known"),
)


@dataclass(frozen=True, slots=True)
class SiteRow:
    """One site as the list tells it; ``level`` is None where nothing is known.

    ``lacks`` then names what is missing, else when the outlook is from.
    """

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
    """Say how many sites are at which level, and of how many nothing is known."""
    if not lines:
        return "There is no site yet."
    words = Counter(_level(line).word for line in lines if _is_known(line))
    told = [f"{words[word]} {word}" for word in reversed(LEVELS) if words[word]]
    if unknown := sum(not _is_known(line) for line in lines):
        told.append(f"{unknown} of which nothing is known")
    sites = f"{len(lines)} site{'' if len(lines) == 1 else 's'}"
    return f"{sites}: {', '.join(told)}."


def _is_shown(line: OutlookLine, show: str) -> bool:
    if not _is_known(line):
        return show in ("", MISSING)
    return show in ("", _level(line).mark)


def _level(line: OutlookLine) -> Level:
    found = line.outlook
    return level_words(0 if found is None else found.level, known=_is_known(line))


def _is_known(line: OutlookLine) -> bool:
    """Tell whether dates or a forecast stood behind the outlook.

    An old forecast that counted as none leaves no chance.
    """
    found = line.outlook
    return found is not None and (
        found.chance is not None or found.planning_date is not None or found.level > 0
    )


def _row(line: OutlookLine, now: datetime) -> SiteRow:
    found = line.outlook
    station = line.station or "no station"
    if found is None or not _is_known(line):
        lacks = f"{_missing(line)}{_worked_out(line, now)}"
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
        age="no forecast" if received is None else _age(received, now),
        station=station,
        lacks=_worked_out(line, now),
    )


def _age(received: datetime, now: datetime) -> str:
    seconds = (now - received).total_seconds()
    old = ", too old" if seconds > NO_TRUST_AFTER_S else ""
    return f"{age_words(seconds)}{old}"


def _missing(line: OutlookLine) -> str:
    found = line.outlook
    station = "" if line.station else "no station; "
    if found is None:
        return f"{station}not worked out yet"
    if not found.parts:
        return f"{station}no part that frost can reach is recorded; "
    station = station or "its station tells no date; "
    old = found.forecast_received_at is not None
    return f"{station}{'its forecast is too old' if old else 'no forecast'}; "


def _first_ice(line: OutlookLine, now: datetime) -> str:
    found = line.outlook
    if found is None:
        return "not known"
    if found.first_ice_at is None:
        # Without a chance no forecast was followed through the night.
        return (
            "not known" if found.chance is None else "not within 24\N{NO-BREAK SPACE}h"
        )
    told = local_words(found.first_ice_at, line.time_zone)
    return told if found.first_ice_at > now else f"{told}, past"


def _worked_out(line: OutlookLine, now: datetime) -> str:
    """Say when the outlook is from, and whether the site has changed since."""
    found = line.outlook
    if found is None:
        return ""
    told = f"worked out {local_words(found.worked_out_at, line.time_zone)}"
    if (now - found.worked_out_at).total_seconds() > _A_DAY_S:
        told += ", out of date"
    return f"{told}; the site has changed since" if line.stale else told


_A_DAY_S: Final = 86_400.0

"""A job as a row of its page."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from maintenance.services.jobs.packs import pack_is_there
from maintenance.services.jobs.queries import JobLine
from maintenance.services.jobs.values import PACK, PRINTED
from maintenance.services.seasons.read_lists import SEASON_NAMES

_STATES: Final = {
    "waiting": "at work",
    "running": "at work",
    "done": "done",
    "failed": "given up",
    "cancelled": "called off",
}

_ONE: Final = {"reports": "report", "sites": "site", "forecasts": "forecast"}


@dataclass(frozen=True, slots=True)
class JobRow:
    """What a person reads of a job."""

    line: JobLine
    title: str
    state: str
    came: str
    asked_at: datetime
    pack: bool = False
    pack_gone: bool = False


def job_row(line: JobLine) -> JobRow:
    """Put a job into words."""
    counts = [_count(number, name) for name, number in line.counts.items() if number]
    pack = pack_is_there(line)
    printed = line.state == "done" and line.counts.get(PRINTED, 0) > 0
    begun = line.done or line.state == "running" or not line.unfinished
    return JobRow(
        line=line,
        title=_title(line),
        state=_STATES[line.state] if begun else "waits for its turn",
        came=", ".join(counts),
        asked_at=line.asked_at,
        pack=pack,
        pack_gone=printed and not pack,
    )


def _count(number: int, name: str) -> str:
    """Write a count; one of something is no plural."""
    first, *rest = name.split(" ")
    if number == 1 and first in _ONE:
        name = " ".join([_ONE[first], *rest])
    return f"{number} {name}"


def _title(line: JobLine) -> str:
    choices = line.choices
    if line.kind == PACK:
        first, last = _day(choices.get("first")), _day(choices.get("last"))
        return f"Test reports, {first} to {last}, on {choices.get('paper')}"
    if line.kind != "build_lists":
        return line.name
    machine = choices.get("compressor")
    season = SEASON_NAMES.get(str(choices.get("season")), str(choices.get("season")))
    told = f"{season[:1].upper()}{season[1:]} {choices.get('year')} for all sites"
    if choices.get("season") == "shutdown":
        told += f", compressor {machine}" if machine else ", drained only"
    return told


def _day(kept: object) -> str:
    day = date.fromisoformat(str(kept))
    return f"{day.day} {day:%b %Y}"

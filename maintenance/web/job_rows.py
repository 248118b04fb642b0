"""A job as a row of its page."""

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from maintenance.services.jobs.queries import JobLine
from maintenance.services.seasons.read_lists import SEASON_NAMES

_STATES: Final = {
    "waiting": "at work",
    "running": "at work",
    "done": "done",
    "failed": "given up",
    "cancelled": "called off",
}


@dataclass(frozen=True, slots=True)
class JobRow:
    """What a person reads of a job."""

    line: JobLine
    title: str
    state: str
    came: str
    asked_at: datetime


def job_row(line: JobLine) -> JobRow:
    """Put a job into words."""
    counts = [f"{number} {name}" for name, number in line.counts.items() if number]
    begun = line.done or line.state == "running" or not line.unfinished
    return JobRow(
        line=line,
        title=_title(line),
        state=_STATES[line.state] if begun else "waits for its turn",
        came=", ".join(counts),
        asked_at=line.asked_at,
    )


def _title(line: JobLine) -> str:
    choices = line.choices
    if line.kind != "build_lists":
        return line.name
    machine = choices.get("compressor")
    season = SEASON_NAMES.get(str(choices.get("season")), str(choices.get("season")))
    told = f"{season[:1].upper()}{season[1:]} {choices.get('year')} for all sites"
    if choices.get("season") == "shutdown":
        told += f", compressor {machine}" if machine else ", drained only"
    return told

"""The sheet of a day on paper: what to do where, and what to look out for."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from maintenance.services.visits.day import DayLine
from maintenance.services.visits.words import KINDS, OUTCOMES

AIR: Final[Mapping[str, str]] = {
    "none": "none, it drains",
    "small": "small",
    "towed": "towed",
    "unknown": "not known",
}
"""What compressor a site needs, in words."""

CAUTIONS: Final = (
    (
        "Compressed air: never with all outlets shut, an outlet seen to pass; regulator "
        "and relief valve first; stand clear of fittings and heads."
    ),
    "Air off and gauge at zero before a zone is changed by hand or a coupler key moves.",
    "The engine never runs indoors. Chock the wheels. Eyes and ears protected.",
    (
        "Electricity: off at the breaker, seen to be off, before a pump or a controller "
        "is opened."
    ),
    "Local codes, licensed work and what you see on the ground decide.",
)
"""The usual ones travel with the paper; those of each step stand in its list."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayRow:
    """A visit as the paper has it; ``private`` stands there only if it was asked for."""

    visit_id: int
    window: str
    site_key: str
    site_name: str
    what: str
    asked: str
    bring: str
    look_at: tuple[str, ...]
    private: tuple[tuple[str, str], ...]


def day_rows(lines: Iterable[DayLine], *, private: bool) -> list[DayRow]:
    """Put the visits of a day into words.

    Without ``private`` nothing tells how to get in, whom to ring, or what was noted
    the last time: notes of people hold gate codes.
    """
    return [_row(line, private) for line in lines]


def _row(line: DayLine, private: bool) -> DayRow:
    visit = line.visit
    year = f" {visit.season_year}" if visit.season_year else ""
    urgent = visit.call is not None and visit.call.urgency == "today"
    return DayRow(
        visit_id=visit.pk,
        window=visit.window or "any time",
        site_key=visit.site.key,
        site_name=visit.site.name,
        what=f"{KINDS[visit.kind].capitalize()}{year}",
        asked=_asked(line, urgent),
        bring=_bring(line),
        look_at=line.open_findings,
        private=tuple(_private(line)) if private else (),
    )


def _asked(line: DayLine, urgent: bool) -> str:
    call = line.visit.call
    if call is None:
        return ""
    by = call.promised_by
    promised = f" Promised by {by:%a} {by.day} {by:%b}." if by else ""
    return f"{'Today: ' if urgent else ''}{call.what}{promised}"


def _bring(line: DayLine) -> str:
    machine = line.visit.compressor
    if machine is not None:
        what = f": {machine.label}" if machine.label else ""
        return f"bring {machine.key}{what}"
    if line.visit.kind == "shutdown":
        return f"compressor needed: {AIR.get(line.air, 'not worked out yet')}"
    return ""


def _private(line: DayLine) -> Iterable[tuple[str, str]]:
    if line.access:
        yield "Access", line.access
    for note in line.site_notes:
        yield "Note", note
    call = line.visit.call
    if call is not None and (call.caller or call.reach_at):
        yield "Caller", ", ".join(t for t in (call.caller, call.reach_at) if t)
    if line.visit.notes:
        yield "For this visit", line.visit.notes
    if line.before is not None:
        told = " ".join(t for t in (line.before.outcome_note, line.before.notes) if t)
        yield "Last time", f"{OUTCOMES[line.before.outcome]}. {told}".strip()

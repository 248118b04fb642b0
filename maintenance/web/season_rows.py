"""The rows of a season's list as the page for doing shows them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from secrets import token_urlsafe
from typing import Any

from maintenance.documents.row_words import minutes as hours_words
from maintenance.engine.site import Site
from maintenance.engine.units import UnitSystem
from maintenance.services.seasons.kept_list import StepLine, WholeList, ZoneLine
from maintenance.services.seasons.suggested_ends import suggested_ends
from maintenance.web.local_times import local_words
from maintenance.web.pass_phases import phases_of
from maintenance.web.readings_asked import Asked, meters_of, reading_asked
from maintenance.web.season_marks import Broken, Marks

ZONES = "zones"
"""Where a person goes on once no step is left."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """What was refused, at which row of the page, and what had been typed there."""

    at: str
    text: str
    typed: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class StepView:
    """One step: what it says, what it asks for, and what may be done with it.

    ``then`` is where a person goes on after it; ``up`` and ``down`` are the numbers of
    the rows that it would stand behind, empty for the head of the list, None where it
    cannot go there.
    """

    line: StepLine
    state: str
    to_do: bool
    next: bool
    text: str
    setting: str
    times: str
    asked: Asked | None
    phases: str
    when: str
    broken: tuple[Broken, ...]
    refused: str
    typed: Mapping[str, str]
    client_id: str
    then: str
    up: str | None
    down: str | None


@dataclass(frozen=True, slots=True)
class BlockView:
    """Steps under one heading; ``left`` of them have no outcome."""

    number: int
    name: str
    steps: tuple[StepView, ...]

    @property
    def left(self) -> int:
        """How many steps have no outcome."""
        return sum(not step.line.report and not step.line.gone for step in self.steps)

    @property
    def told(self) -> int:
        """How many steps have an outcome."""
        return sum(bool(step.line.report) for step in self.steps)


@dataclass(frozen=True, slots=True)
class ZoneView:
    """A zone: how it ended, or what its steps say of it."""

    line: ZoneLine
    suggested: str
    note: str
    refused: str
    typed: Mapping[str, str]
    then: str


def step_blocks(
    site: Site,
    whole: WholeList,
    marks: Marks,
    rows: Mapping[str, Mapping[str, Any]],
    system: UnitSystem,
    refusal: Refusal | None = None,
) -> tuple[BlockView, ...]:
    """Return the steps under their headings, in the list's order.

    ``rows`` are those of the sheet that the list used. What a person added or moved
    stands under the heading that it was put under.
    """
    lines = whole.steps
    standing = [line for line in lines if not line.gone]
    place = {line.id: n for n, line in enumerate(standing)}
    meters = meters_of(site)
    first = next(iter(whole.steps_left), None)
    views: list[StepView] = []
    for line in lines:
        refused = refusal if refusal and refusal.at == f"step-{line.id}" else None
        setting, times = _setting(line)
        up, down = _moves(standing, place.get(line.id))
        views.append(
            StepView(
                line=line,
                state=_state(line),
                to_do=not (line.report or line.gone or whole.head.closed_at),
                next=line is first and whole.head.closed_at is None,
                text=_text(line, setting, times),
                setting=setting,
                times=times,
                asked=reading_asked(line.step, meters, system),
                phases=phases_of(line.step, rows.get(line.step.row or "")),
                when=_when(line, whole.head.time_zone),
                broken=marks.at_step.get(line.id, ()),
                refused=refused.text if refused else "",
                typed=refused.typed if refused else {},
                client_id=token_urlsafe(12),
                then=_then(standing, place.get(line.id)),
                up=up,
                down=down,
            )
        )
    return _under_headings(views)


def zone_views(
    whole: WholeList, refusal: Refusal | None = None
) -> tuple[ZoneView, ...]:
    """Return the zones in order, with what their steps say of them."""
    suggested = {each.zone: each for each in suggested_ends(whole)}
    left = [f"zone-{n}" for n, z in enumerate(whole.zones) if z.outcome is None]
    views: list[ZoneView] = []
    for n, line in enumerate(whole.zones):
        at = f"zone-{n}"
        refused = refusal if refusal and refusal.at == at else None
        told = suggested.get(line.zone)
        after = [each for each in left if int(each[5:]) > n]
        views.append(
            ZoneView(
                line=line,
                suggested=told.outcome or "" if told else "",
                note=told.note if told else line.note,
                refused=refused.text if refused else "",
                typed=refused.typed if refused else {},
                then=next(iter(after), ZONES),
            )
        )
    return tuple(views)


def time_left(whole: WholeList) -> str:
    """Say how long the steps that are left take, waiting included."""
    return hours_words(60.0 * sum(line.step.minutes for line in whole.steps_left))


def _state(line: StepLine) -> str:
    return line.report.outcome if line.report else ""


def _setting(line: StepLine) -> tuple[str, str]:
    """Return setting and times of a row of air, which stand beside its words."""
    if line.step.act != "blow":
        return "", ""
    setting, _, times = line.step.to.partition("; ")
    return setting, times


def _text(line: StepLine, setting: str, times: str) -> str:
    """Return the words of a step, without the numbers that stand over them."""
    told = f" at {setting}, see it pass: {times}."
    return line.step.text.replace(told, ", see it pass.") if times else line.step.text


def _when(line: StepLine, time_zone: str) -> str:
    return local_words(line.report.done_at, time_zone) if line.report else ""


def _then(standing: Sequence[StepLine], place: int | None) -> str:
    """Return the next row without an outcome, from here on or from the head."""
    at = 0 if place is None else place + 1
    for line in (*standing[at:], *standing[:at]):
        here = place is not None and line is standing[place]
        if line.report is None and not here:
            return f"step-{line.id}"
    return ZONES


def _moves(
    standing: Sequence[StepLine], place: int | None
) -> tuple[str | None, str | None]:
    """Return behind which rows a step would stand, one place up and one down."""
    if place is None:
        return None, None
    before = ["", *(str(line.id) for line in standing)]
    up = before[place - 1] if place > 0 else None
    down = before[place + 2] if place + 2 < len(before) else None
    return up, down


def _under_headings(views: Sequence[StepView]) -> tuple[BlockView, ...]:
    blocks: list[tuple[str, list[StepView]]] = []
    for view in views:
        line = view.line
        stays = blocks and (line.own or line.placed or line.step.block == blocks[-1][0])
        if not stays:
            blocks.append((line.step.block or "First", []))
        blocks[-1][1].append(view)
    return tuple(
        BlockView(n, name, tuple(steps)) for n, (name, steps) in enumerate(blocks)
    )

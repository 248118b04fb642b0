"""A season list as the faces see it: plain values."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

from maintenance.engine.figure import Warning
from maintenance.engine.procedure.progress import (
    ListedStep,
    Outcome,
    Reached,
    ZoneEnd,
    positions_reached,
    steps_to_check,
)
from maintenance.engine.procedure.reading import Reading
from maintenance.engine.procedure.step import Procedure, Season, StaysOpen, Step

CLOCKS_AGREE: Final = timedelta(minutes=10)
"""A report from further ahead than this comes from a clock that is wrong."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListHead:
    """What a list is about.

    ``site_changed`` says that the site is no longer what the list was compiled from.
    """

    id: int
    site_key: str
    site_name: str
    time_zone: str
    season: Season
    year: int
    compressor: str
    notes: str
    opened_at: datetime
    opened_by: str
    closed_at: datetime | None
    closed_by: str
    site_changed: bool
    site_retired: bool


@dataclass(frozen=True, slots=True)
class ListLine:
    """A list among others, with how much of it is left."""

    head: ListHead
    steps: int
    steps_left: int
    zones: int
    zones_left: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """What a person reported of a step."""

    client_id: str
    outcome: Outcome
    reason: str
    who: str
    done_at: datetime
    received_at: datetime
    reading: Reading
    seconds: float | None
    note: str
    undone_at: datetime | None
    undone_by: str

    @property
    def clock_is_wrong(self) -> bool:
        """Whether it tells of a time that had not come when it arrived."""
        return self.done_at > self.received_at + CLOCKS_AGREE


@dataclass(frozen=True, slots=True, kw_only=True)
class StepLine:
    """A step of a list.

    ``number`` counts those that stand, from 1; a step that is gone has none and is
    shown for what was reported of it. ``undone`` holds what was taken back.
    """

    id: int
    number: int | None
    step: Step
    own: bool
    placed: bool
    gone: bool
    report: Report | None
    undone: tuple[Report, ...]


@dataclass(frozen=True, slots=True)
class ZoneLine:
    """A zone of a list; ``outcome`` is None until somebody tells it."""

    zone: str
    name: str
    outcome: ZoneEnd | None
    note: str
    gone: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WholeList:
    """A list with everything in it but the figures that it used.

    ``choices`` were made before it was compiled; ``warnings`` say what it lacks.
    """

    head: ListHead
    compiled_from: int
    start: Mapping[str, str]
    choices: Mapping[str, Any]
    stays_open: tuple[StaysOpen, ...]
    warnings: tuple[Warning, ...]
    all_steps: tuple[StepLine, ...]
    all_zones: tuple[ZoneLine, ...]

    @property
    def steps(self) -> tuple[StepLine, ...]:
        """The steps to show: those that stand, and those gone that have a report."""
        return tuple(s for s in self.all_steps if not s.gone or s.report)

    @property
    def zones(self) -> tuple[ZoneLine, ...]:
        """The zones to show: those that stand, and those gone that have an outcome."""
        return tuple(z for z in self.all_zones if not z.gone or z.outcome)

    @property
    def steps_left(self) -> tuple[StepLine, ...]:
        """The steps that have no outcome yet."""
        return tuple(s for s in self.all_steps if not s.gone and s.report is None)

    @property
    def zones_left(self) -> tuple[ZoneLine, ...]:
        """The zones that have no outcome yet."""
        return tuple(z for z in self.all_zones if not z.gone and z.outcome is None)

    @property
    def listed(self) -> tuple[ListedStep, ...]:
        """The steps as the engine takes them."""
        return tuple(
            ListedStep(
                row=line.id,
                step=line.step,
                outcome=line.report.outcome if line.report else None,
                when=line.report.done_at if line.report else None,
                own=line.own,
                placed=line.placed,
                gone=line.gone,
            )
            for line in self.all_steps
        )

    @property
    def procedure(self) -> Procedure:
        """The list to check: what is or will be done, in its present order."""
        steps = steps_to_check(self.listed)
        return Procedure(self.head.season, steps, self.stays_open, self.warnings)

    @property
    def reached(self) -> Reached:
        """How the parts stand after what was done so far."""
        return positions_reached(self.start, self.listed)

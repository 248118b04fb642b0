"""The jobs of an account, as a person looks at them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from maintenance.models import Account, Job
from maintenance.services.jobs.ask import UNFINISHED
from maintenance.services.jobs.values import KINDS

MOST: Final = 30
"""Jobs that are told, newest first."""


@dataclass(frozen=True, slots=True)
class JobLine:
    """One job: what, how far, what came of it."""

    number: int
    kind: str
    choices: Mapping[str, object]
    state: str
    done: int
    total: int
    counts: Mapping[str, int]
    said: Sequence[str]
    left_out: int
    error: str
    asked_at: datetime
    asked_by: str
    ended_at: datetime | None

    @property
    def name(self) -> str:
        """What the job does, in words."""
        return KINDS.get(self.kind, self.kind)

    @property
    def unfinished(self) -> bool:
        """Whether it waits or is at work."""
        return self.state in UNFINISHED


def jobs(account: Account) -> list[JobLine]:
    """Return the newest jobs, in one query."""
    rows = Job.objects.for_account(account).order_by("-asked_at", "-pk")
    return [_line(row) for row in rows[:MOST]]


def _line(row: Job) -> JobLine:
    return JobLine(
        number=row.pk,
        kind=row.kind,
        choices={name: what for name, what in row.asked.items() if name != "sites"},
        state=row.state,
        done=row.done,
        total=row.total,
        counts=row.result.get("counts", {}),
        said=row.result.get("said", ()),
        left_out=row.result.get("left_out", 0),
        error=row.error,
        asked_at=row.asked_at,
        asked_by=row.asked_by,
        ended_at=row.ended_at,
    )

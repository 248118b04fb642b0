"""One piece of a job is claimed, counted as done, or given back.

A claim is one conditional update, and whoever changed the row has the piece. Leases
are measured by the clock of the database alone: those of the workers may differ.
"""

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any, Final
from uuid import uuid4

from django.db.models import F, Q, QuerySet
from django.db.models.functions import Now

from maintenance.models import Job
from maintenance.services.errors import ConflictError
from maintenance.services.jobs.ask import UNFINISHED
from maintenance.services.jobs.values import PIECE_SITES, Claimed, Piece

MOST_TRIES: Final = 5
"""Claims of the same piece; a piece that stops its worker so often is given up."""

LONGEST_LEASE: Final = timedelta(minutes=20)
"""None is given for longer: what seems so was written while the clock was wrong."""

MOST_SAID: Final = 100
"""Sentences kept with a job: more are counted only."""

LOOKED_AT: Final = 5
"""Free jobs looked at in one claim: others may take the first ones meanwhile."""


class OvertakenError(ConflictError):
    """The lease ended, or the job was called off, before the piece was stored."""


def claimable() -> "QuerySet[Job]":
    """Return the unfinished jobs that no worker holds."""
    free = Q(lease_until=None) | Q(lease_until__lt=Now())
    free |= Q(lease_until__gt=Now() + LONGEST_LEASE)
    return Job.objects.filter(free, state__in=UNFINISHED)


def claim_piece(*, lease: timedelta, now: datetime) -> Claimed | None:
    """Claim the next piece of the job that waits longest, or return None.

    Parameters
    ----------
    lease : timedelta
        How long the piece is held.
    now : datetime
        When a job that is given up has ended.
    """
    token = uuid4().hex
    waiting = claimable().order_by("asked_at", "pk").values_list("pk", "tries")
    for job, tries in waiting[:LOOKED_AT]:
        free = claimable().filter(pk=job, tries=tries)
        if tries >= MOST_TRIES:
            free.update(
                state="failed",
                ended_at=now,
                error=f"The work stopped {tries} times at the same place.",
            )
        elif free.update(
            state="running",
            token=token,
            lease_until=Now() + lease,
            tries=F("tries") + 1,
        ):
            return _claimed(token, job)
    return None


def _claimed(token: str, job: int) -> Claimed | None:
    row = Job.objects.select_related("account").filter(pk=job, token=token).first()
    if row is None:  # called off between the two statements
        return None
    size = PIECE_SITES.get(row.kind, 1)
    sites = row.asked["sites"][row.done : row.done + size]
    return Claimed(
        job=job,
        token=token,
        account=row.account,
        kind=row.kind,
        asked=row.asked,
        result=row.result,
        done=row.done,
        sites=sites,
        last=row.done + len(sites) >= row.total,
    )


def count_done(piece: Claimed, came: Piece, *, now: datetime) -> None:
    """Count a piece as done and let go of the job; within the piece's transaction.

    Raises
    ------
    OvertakenError
        If this worker does not hold it any more: the transaction must not be kept.
    """
    changed = _held(piece).update(
        done=piece.done + len(piece.sites),
        result=_together(piece.result, came),
        state="done" if piece.last else "waiting",
        ended_at=now if piece.last else None,
        tries=0,
        token="",
        lease_until=None,
    )
    if not changed:
        raise OvertakenError("Someone else has this piece, or the job was cancelled.")


def give_back(piece: Claimed) -> None:
    """Let go of a piece that was not done, so that the next claim may try it."""
    _held(piece).update(state="waiting", token="", lease_until=None)


def _held(piece: Claimed) -> "QuerySet[Job]":
    return Job.objects.filter(
        pk=piece.job, token=piece.token, state="running", done=piece.done
    )


def _together(before: Mapping[str, Any], came: Piece) -> dict[str, Any]:
    counts = dict(before.get("counts", {}))
    for name, number in came.counts.items():
        counts[name] = counts.get(name, 0) + number
    said = [*before.get("said", ()), *came.said]
    left_out = before.get("left_out", 0) + max(0, len(said) - MOST_SAID)
    return {"counts": counts, "said": said[:MOST_SAID], "left_out": left_out}

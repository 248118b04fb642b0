"""A long job is asked for, or called off."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction

from maintenance.models import Account, Job, Site
from maintenance.services.dispatch import nudge
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.jobs.values import KINDS, PACK

TASK = "jobs.work"
UNFINISHED = ("waiting", "running")


@transaction.atomic
def ask_for_job(
    account: Account,
    *,
    kind: str,
    asked: Mapping[str, Any],
    now: datetime,
    actor: str,
) -> int:
    """Ask for a job on all sites of an account; return its number.

    Reports are printed of sites that were taken out, too: they stay what was signed.

    While one of that kind is unfinished no second one is begun: its number is
    returned instead, so that pressing twice does the work once.

    Parameters
    ----------
    account : Account
        Whose sites they are.
    kind : str
        One of `KINDS`.
    asked : mapping
        What the pieces need to know, as a record.
    now : datetime
        When this happens.
    actor : str
        Who asks.

    Raises
    ------
    ServiceError
        If there is no such kind, or no site to work on.
    ConflictError
        If an unfinished job of the kind was asked for with other choices.
    """
    if kind not in KINDS:
        raise ServiceError(f'There is no job "{kind}": choose one of the page.')
    there = Job.objects.for_account(account).filter(kind=kind, state__in=UNFINISHED)
    if (job := there.order_by("pk").first()) is not None:
        if {**job.asked, "sites": None} != {**asked, "sites": None}:
            raise ConflictError(
                "Such a job is at work already, with other choices: let it end, or "
                "cancel it first."
            )
        return job.pk
    sites = Site.objects.for_account(account)
    if kind != PACK:
        sites = sites.standing()
    keys = list(sites.order_by("pk").values_list("key", flat=True))
    if not keys:
        raise ServiceError("There is no site to work on: put one in first.")
    job = Job(
        account=account,
        kind=kind,
        asked={**asked, "sites": keys},
        total=len(keys),
        asked_at=now,
        asked_by=actor,
    )
    job.full_clean(exclude=["account"])
    job.save()
    nudge(TASK)
    return job.pk


def cancel_job(account: Account, *, job: int, now: datetime) -> None:
    """Call a job off: what is done stays done, and no further piece is stored.

    Raises
    ------
    NotFoundError
        If the account has no such job.
    ConflictError
        If it has ended meanwhile.
    """
    rows = Job.objects.for_account(account).filter(pk=job)
    changed = rows.filter(state__in=UNFINISHED).update(
        state="cancelled", cancel_at=now, ended_at=now, token="", lease_until=None
    )
    if changed:
        return
    if not rows.exists():
        raise NotFoundError("There is no such job.")
    raise ConflictError("This job has ended already: nothing is left to cancel.")

"""What the schedule asks for, or does, by itself once an hour."""

from datetime import datetime, timedelta
from typing import Final

from django.db import transaction

from maintenance.models import Job
from maintenance.services.accounts import accounts
from maintenance.services.errors import ServiceError
from maintenance.services.jobs.ask import UNFINISHED, ask_for_job
from maintenance.services.jobs.heartbeats import take_turn
from maintenance.services.jobs.pack_files import clear_packs
from maintenance.services.jobs.values import SCHEDULE

EVERY: Final = timedelta(hours=1)
KEPT: Final = timedelta(days=7)
"""A job that nobody asked for is of no interest after that."""


@transaction.atomic
def ask_by_the_hour(*, now: datetime) -> int:
    """Ask for the outlooks of every account, if an hour has passed; count the jobs.

    Turn and jobs are one transaction: any number of schedules ask once.
    """
    if not take_turn("hourly", every=EVERY):
        return 0
    old = Job.objects.filter(asked_by=SCHEDULE, ended_at__lt=now - KEPT)
    old.exclude(state__in=UNFINISHED).delete()
    asked = 0
    for account in accounts():
        try:
            ask_for_job(
                account, kind="refresh_outlooks", asked={}, now=now, actor=SCHEDULE
            )
        except ServiceError:
            continue  # no sites, or one is at work: the next hour comes
        asked += 1
    return asked


def clear_by_the_hour(*, now: datetime) -> int:
    """Take packs away that are of no more use, if an hour has passed; count them.

    No transaction is open meanwhile: files take their time.
    """
    return clear_packs(now=now) if take_turn("packs", every=EVERY) else 0

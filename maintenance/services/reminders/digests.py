"""One letter a day for those who want it so, on the days when there is something."""

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Final

from maintenance.engine.calendar.local_time import local_date
from maintenance.engine.reminding.plan import Planned, Reader
from maintenance.engine.reminding.quiet import morning_of
from maintenance.engine.reminding.steps import MOST_DAYS
from maintenance.models import Account, Message
from maintenance.services.reminders.overtaken import replace_older_digests
from maintenance.services.reminders.zone_data import zone_data_version

_DAY: Final = timedelta(days=1)


def write_digests(
    account: Account, daily: Mapping[int, list[Planned]], *, now: datetime
) -> int:
    """Write the day's letter of each reader; ``daily`` holds what came due by id.

    Its row keeps the day and how many days it tells of, so that what stands in it can
    be found again at each attempt.
    """
    rows = []
    for planned in daily.values():
        reader = planned[0].reader
        day = _last_morning(reader, now)
        days = _days_untold(reader, day)
        if any(told_on(each, day, days) for each in planned):
            rows.append(
                Message(
                    account=account,
                    recipient_id=reader.id,
                    channel="digest",
                    step=days,
                    due_on=day,
                    send_at=morning_of(day, reader.morning, reader.quiet, reader.zone),
                    zone_data=zone_data_version(),
                    key=f"d{reader.id}:{day}",
                )
            )
    kept = set(
        Message.objects.filter(key__in=[row.key for row in rows]).values_list(
            "key", flat=True
        )
    )
    new = [row for row in rows if row.key not in kept]
    Message.objects.bulk_create(new, ignore_conflicts=True)
    for row in rows:
        replace_older_digests(row.recipient_id or 0, row.due_on)
    return len(new)


def told_on(each: Planned, day: date, days: int) -> bool:
    """Whether a reminder stands in the letter of a day that tells of so many days."""
    return 0 <= (day - each.day).days < days


def _last_morning(reader: Reader, now: datetime) -> date:
    """Return the last day whose morning has come."""
    day = local_date(now, reader.zone)
    if morning_of(day, reader.morning, reader.quiet, reader.zone) > now:
        day -= _DAY
    return day


def _days_untold(reader: Reader, day: date) -> int:
    """Return how many days a letter of a day has to tell of, itself with them."""
    told = (
        Message.objects.filter(recipient=reader.id, channel="digest", due_on__lt=day)
        .exclude(state__in=("due", "superseded", "cancelled"))
        .order_by("-due_on")
        .values_list("due_on", flat=True)
        .first()
    )
    return min(MOST_DAYS, (day - told).days) if told else MOST_DAYS

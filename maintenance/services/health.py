"""Whether all that must run does run: for a page, for a monitor, for a banner."""

import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Final

from django.conf import settings
from django.db import DatabaseError, connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder
from django.db.models import BooleanField
from django.db.models.expressions import RawSQL

from maintenance.models import Message
from maintenance.services.jobs.heartbeats import BEAT, ages
from maintenance.services.start_checks import redis_client

SILENT: Final = timedelta(minutes=5)
"""A schedule that gave no sign for so long does not run."""

LATE: Final = timedelta(minutes=15)
"""A reminder may wait so long past its time; both from reference note 8, 2.3."""

LEAST_FREE: Final = 200_000_000
"""Bytes on the disk; below it the database and its backups soon fail."""

# Written out, so that SQLite sees that the partial index holds them all.
_WAITING: Final = "maintenance_message.state IN ('due', 'sending')"


@dataclass(frozen=True, slots=True)
class Sign:
    """One thing that was looked at: whether it is well, and a sentence for a person."""

    name: str
    well: bool
    said: str


def look_at_all(*, now: datetime) -> list[Sign]:
    """Look at everything, in four queries; no part of it says what is in the tables."""
    try:
        signs = [_migrations(), _beat(), _reminders(now)]
    except DatabaseError as fault:
        signs = [
            Sign("database", False, f"It does not answer ({type(fault).__name__}).")
        ]
    else:
        signs.insert(0, Sign("database", True, f"{connection.vendor} answers."))
    return [*signs, _queue(), _disk()]


def as_json(signs: list[Sign]) -> Mapping[str, object]:
    """Return what a monitor is told."""
    return {
        "well": all(sign.well for sign in signs),
        **{sign.name: {"well": sign.well, "said": sign.said} for sign in signs},
    }


@cache
def _known_migrations() -> frozenset[tuple[str, str]]:
    """Read once which migrations the program has: its files do not change under it."""
    loader = MigrationLoader(None)
    return frozenset(loader.disk_migrations)


def _migrations() -> Sign:
    applied = set(MigrationRecorder(connection).applied_migrations())
    missing = _known_migrations() - applied
    if not missing:
        return Sign("migrations", True, "The tables are those of this program.")
    return Sign(
        "migrations",
        False,
        f"{len(missing)} changes of the tables are missing: start `serve` again, or run "
        "`manage.py migrate`.",
    )


def _beat() -> Sign:
    age = ages().get(BEAT)
    if age is None:
        return Sign("beat", False, "The background work has never run: see `serve`.")
    if age > SILENT:
        return Sign(
            "beat",
            False,
            f"The background work gave its last sign {_long(age)} ago: see the log of "
            "the worker, and start it again.",
        )
    return Sign("beat", True, f"The background work gave a sign {_long(age)} ago.")


def _reminders(now: datetime) -> Sign:
    waiting = Message.objects.filter(
        RawSQL(_WAITING, [], output_field=BooleanField()),  # noqa: S611  (no input)
        send_at__lte=now,
    )
    oldest = waiting.order_by("send_at").values_list("send_at", flat=True).first()
    if oldest is None:
        return Sign("reminders", True, "No reminder waits past its time.")
    late = now - oldest
    return Sign(
        "reminders", late <= LATE, f"The oldest one that waits is {_long(late)} late."
    )


def _queue() -> Sign:
    if not settings.REDIS_URL:
        return _embedded_queue()
    from redis import RedisError  # noqa: PLC0415  (needed with REDIS_URL only)

    try:
        with redis_client() as client:
            client.ping()
    except (RedisError, OSError) as fault:
        return Sign("broker", False, f"Redis does not answer ({type(fault).__name__}).")
    return Sign("broker", True, "Redis answers.")


def _embedded_queue() -> Sign:
    folder = Path(settings.QUEUE_DIR) / "messages"
    if not folder.is_dir():
        return Sign("broker", False, "The queue is not there yet: see `serve`.")
    waiting = sum(1 for _path in folder.iterdir())
    return Sign("broker", True, f"{waiting} nudges wait in the data folder.")


def _disk() -> Sign:
    folder = Path(settings.DATA_DIR)
    try:
        free = shutil.disk_usage(folder).free
    except OSError as fault:
        return Sign(
            "disk", False, f"The data folder cannot be used ({fault.strerror})."
        )
    return Sign("disk", free >= LEAST_FREE, f"{free / 1e9:.1f} GB are free.")


def _long(age: timedelta) -> str:
    seconds = max(0, int(age.total_seconds()))
    for size, unit in ((86400, "days"), (3600, "hours"), (60, "minutes")):
        if seconds >= 2 * size:
            return f"{seconds // size} {unit}"
    return f"{seconds} seconds"

"""The database is brought up to date at start, after a copy of it was made."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor
from django.utils import timezone

COPIES_KEPT = 5


def prepare_database(*, say: Callable[[str], object]) -> Path | None:
    """Apply the migrations that are missing and return the copy made before, if any.

    Parameters
    ----------
    say : callable
        Takes a sentence for the person who waits.
    """
    executor = MigrationExecutor(connection)
    if not executor.migration_plan(executor.loader.graph.leaf_nodes()):
        return None
    fresh = not executor.loader.applied_migrations
    say("Making the database." if fresh else "Bringing the database up to date.")
    copy = None if fresh else _copy_before(timezone.localtime(), say=say)
    try:
        call_command("migrate", interactive=False, verbosity=0, skip_checks=True)
    except DatabaseError as fault:
        kept = f" It was copied before, to {copy}." if copy else ""
        raise CommandError(
            f"The database could not be brought up to date ({fault}).{kept} Go back "
            "to the version of the program that you had, and report this."
        ) from fault
    return copy


def _copy_before(now: datetime, *, say: Callable[[str], object]) -> Path | None:
    if connection.vendor != "sqlite":
        say("A PostgreSQL database is not copied here: keep your own (pg_dump).")
        return None
    folder = Path(settings.DATA_DIR) / "backups"
    folder.mkdir(mode=0o700, exist_ok=True)
    target = folder / f"before-{now:%Y%m%dT%H%M%S}.sqlite3"
    copy_database(Path(connection.settings_dict["NAME"]), target)
    for old in sorted(folder.glob("before-*.sqlite3"))[:-COPIES_KEPT]:
        old.unlink()
    return target


def copy_database(source: Path, target: Path) -> None:
    """Copy an SQLite database that may be in use, whole or not at all.

    Copying the file would miss what still stands in the write-ahead log; SQLite's
    own backup does not. The copy gets its name only when it is complete.
    """
    draft = target.with_suffix(".part")
    draft.unlink(missing_ok=True)
    draft.touch(mode=0o600)
    with (
        closing(sqlite3.connect(f"{source.as_uri()}?mode=ro", uri=True)) as old,
        closing(sqlite3.connect(draft)) as new,
    ):
        old.backup(new)
    draft.replace(target)

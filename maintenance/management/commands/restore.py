"""``manage.py restore FILE``: a backup into an empty place, of either database."""

from argparse import ArgumentParser
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import CommandError
from django.db import connection

from irrigation_site.secret_key import make_data_folder
from maintenance.exchange.backup_file import BackupReader, open_backup
from maintenance.management.data_lock import hold_data_folder
from maintenance.management.plain import PlainCommand
from maintenance.services.backflow.verify import verify_records
from maintenance.services.backup.put_back import database_is_empty, put_back


class Command(PlainCommand):
    """Make the database from a backup, whole or not at all."""

    help = (
        "Put a backup into an empty place: a new data folder (IRRIGATION_DATA), or an "
        "empty PostgreSQL database (DATABASE_URL), whichever database it came from. "
        "What is there already is never touched."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take the name of the file."""
        parser.add_argument("file", type=Path, help="what `backup` has written")

    def answer(self, **options: Any) -> None:
        """Restore, compare, and verify the signed tests."""
        folder = Path(settings.DATA_DIR)
        with open_backup(options["file"]) as backup:
            _refuse_unless_empty()
            with hold_data_folder(folder):
                _put_photos(backup, folder / "photos")
                with _database_made_whole():
                    rows = put_back(
                        backup.tables, backup.migrations, backup.rows, say=self.say
                    )
            told = backup.manifest
        found = verify_records()
        if found.findings:
            raise CommandError(
                f"All is restored, but the signed tests do not hold: "
                f"{found.findings[0]} See `verify_tests`."
            )
        self.show(
            f"{rows:,} rows and {len(backup.photos):,} photos of {told['made_at']} are "
            f"restored; {found.records:,} signed tests are as they were signed."
        )


def _refuse_unless_empty() -> None:
    if connection.vendor == "sqlite":
        path = Path(connection.settings_dict["NAME"])
        if path.exists():
            raise CommandError(
                f"There is a database in {path.parent} already, and a backup goes into "
                "an empty place only: set IRRIGATION_DATA to a new folder."
            )
    elif not database_is_empty():
        raise CommandError(
            "The database of DATABASE_URL has tables already, and a backup goes into an "
            "empty place only: make a new database and name that one."
        )


def _put_photos(backup: BackupReader, folder: Path) -> None:
    if backup.photos:
        make_data_folder(folder)
    for name in backup.photos:
        backup.put_photo(name, folder / name)


@contextmanager
def _database_made_whole() -> Iterator[None]:
    """Give an SQLite file its name only when all is in it.

    On PostgreSQL the transaction does that.
    """
    if connection.vendor != "sqlite":
        yield
        return
    path = Path(connection.settings_dict["NAME"])
    draft = path.with_name(f"{path.name}.restoring")
    _forget(draft)
    connection.close()
    connection.settings_dict["NAME"] = draft
    try:
        yield
        connection.close()  # the last one out brings the write-ahead log in
        draft.rename(path)
    finally:
        connection.close()
        connection.settings_dict["NAME"] = path
        _forget(draft)


def _forget(draft: Path) -> None:
    for tail in ("", "-wal", "-shm"):
        draft.with_name(draft.name + tail).unlink(missing_ok=True)

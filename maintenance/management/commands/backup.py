"""``manage.py backup FILE``: everything that is kept, in one file."""

from argparse import ArgumentParser
from importlib.metadata import version
from pathlib import Path
from typing import Any

from django.conf import settings
from django.utils import timezone

from maintenance.exchange.backup_file import sum_of, write_backup
from maintenance.management.plain import PlainCommand
from maintenance.services.backup.snapshot import snapshot
from maintenance.services.backup.tables import table_of


class Command(PlainCommand):
    """Write all tables as they stand at one moment, and all photos."""

    help = (
        "Write all that is kept, photos too, to one new file, as it stands at this "
        "moment; the pages may go on meanwhile. It holds names, addresses and gate "
        "codes: keep it where nobody else reads it. Sessions and the secret key are "
        "not in it, nor are packs of test reports, which can be made again."
    )
    needs_database = True

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take the name of the file."""
        parser.add_argument("file", type=Path, help="such as winter.backup; a new one")

    def answer(self, **options: Any) -> None:
        """Write the file, and tell what is in it and its sum."""
        path: Path = options["file"]
        rows = photos = 0
        with write_backup(path) as backup:
            with snapshot() as now:
                for model in now.models:
                    rows += backup.add_table(
                        table_of(model),
                        columns=now.columns(model),
                        rows=now.rows(model),
                        last_id=now.last_id(model),
                    )
                told = {
                    "program": version("irrigation-maintenance"),
                    "made_at": timezone.now().isoformat(),
                    "database": now.vendor,
                    "migrations": now.migrations,
                }
            # After the rows: a photo is there before its row, and is never changed.
            for photo in _photos():
                backup.add_photo(photo)
                photos += 1
            backup.end(told=told)
        self.show(
            f"{rows:,} rows and {photos:,} photos are in {path}, "
            f"{path.stat().st_size:,} bytes.\nSHA-256 {sum_of(path)}"
        )


def _photos() -> list[Path]:
    folder = Path(settings.DATA_DIR) / "photos"
    return sorted(path for path in folder.glob("*") if path.is_file())

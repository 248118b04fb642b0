"""Take a site file or a compressor file in."""

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.utils import timezone

from maintenance.engine.site import Compressor, Site
from maintenance.exchange.compressor_file import read_compressor
from maintenance.exchange.site_file import read_site
from maintenance.management.database import prepare_database
from maintenance.management.plain import PlainCommand
from maintenance.services.accounts import LOCAL, account_named
from maintenance.services.inventory.store import (
    StoredSite,
    store_compressor,
    store_site,
)


class Command(PlainCommand):
    """Import a file, or only look whether it could be imported."""

    help = (
        "Store the site, or the compressor, that a file describes. What is kept under "
        "the same id is updated; parts that are gone from the file are retired. The "
        "same file twice changes nothing. All faults are told at once, and then "
        "nothing is stored."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take the file, the account and whether only to look."""
        parser.add_argument("file", metavar="FILE", help="a site or compressor file")
        parser.add_argument(
            "--account",
            metavar="A",
            default=LOCAL,
            help="default: that of this machine",
        )
        parser.add_argument(
            "--check", action="store_true", help="tell the faults and store nothing"
        )

    def answer(self, **options: Any) -> None:
        """Read the file, and store what it describes."""
        value = read_file(Path(options["file"]))
        if options["check"]:
            self.show(f"{_named(value)}: no faults. Nothing was stored.")
            return
        prepare_database(say=self.say)
        account = account_named(options["account"])
        now, actor = timezone.now(), "import_site"
        if isinstance(value, Compressor):
            kept = store_compressor(value, account=account, now=now, actor=actor)
            done = "new" if kept.created else "changed" if kept.changed else "as it was"
            self.show(f"{_named(value)}: {done}.")
        else:
            stored = store_site(value, account=account, now=now, actor=actor)
            self.show(f"{_named(value)}: {_told(stored)}")


def read_file(path: Path) -> Site | Compressor:
    """Read what a file describes; all faults of it are raised together."""
    data = path.read_bytes()
    if _is_compressor(data):
        return read_compressor(data)
    return read_site(data)


def _is_compressor(data: bytes) -> bool:
    """Look at the format only; what is no JSON is left to the reader of sites."""
    try:
        record = json.loads(data)
    except (ValueError, RecursionError):
        return False
    kind = record.get("format") if isinstance(record, dict) else None
    return isinstance(kind, str) and kind.startswith("compressor/")


def _named(value: Site | Compressor) -> str:
    if isinstance(value, Compressor):
        return f"Compressor {value.id}"
    parts = len(value.points) + len(value.links)
    return f"Site {value.id} ({value.name}), {parts} parts, {len(value.zones)} zones"


def _told(stored: StoredSite) -> str:
    if stored.created:
        return "new. It is stored."
    if not (stored.changed or stored.retired):
        return f"as it was, version {stored.version}."
    return (
        f"version {stored.version}; changed or added: {_list(stored.changed)}; "
        f"retired: {_list(stored.retired)}."
    )


def _list(keys: tuple[str, ...]) -> str:
    shown = ", ".join(keys[:12]) or "none"
    return f"{shown} and {len(keys) - 12} more" if len(keys) > 12 else shown

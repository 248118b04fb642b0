"""The files of packs of reports, in the data folder until they are of no more use.

A job has a folder, each of its sites a folder in it, and a report a file that is named
for its record's hash. A site's index is written last. All of it can be made again, so
that no backup holds it.
"""

import json
import os
import shutil
from collections.abc import Mapping, Sequence
from contextlib import suppress
from datetime import datetime, timedelta
from hashlib import sha256
from pathlib import Path
from secrets import token_hex
from typing import Any, Final

from django.conf import settings
from django.db.models import Q

from maintenance.models import Job
from maintenance.services.jobs.ask import UNFINISHED
from maintenance.services.jobs.values import PACK

KEPT: Final = timedelta(days=30)
"""A pack can be taken along for so long after it was made (project choice)."""

_INDEX: Final = "index.json"


def packs_folder() -> Path:
    """Return where all packs lie."""
    return Path(settings.DATA_DIR) / "packs"


def pack_folder(job: int) -> Path:
    """Return where the pack of a job lies."""
    return packs_folder() / str(job)


def site_folder(job: int, site_key: str) -> Path:
    """Return where a site's reports lie: a key may hold what no file's name can."""
    return pack_folder(job) / sha256(site_key.encode()).hexdigest()[:32]


def report_file(folder: Path, hash_: str) -> Path:
    """Return where the report of a record lies in its site's folder."""
    return folder / f"{hash_}.pdf"


def write_whole(path: Path, content: bytes) -> None:
    """Write a file that has its name only when it is whole, for its owner alone."""
    for folder in (packs_folder(), path.parent.parent, path.parent):
        folder.mkdir(mode=0o700, exist_ok=True)
    draft = path.with_name(f"{path.name}.{token_hex(8)}.part")
    try:
        with os.fdopen(
            os.open(draft, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb"
        ) as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        draft.replace(path)
    except BaseException:
        draft.unlink(missing_ok=True)
        raise


def write_index(folder: Path, rows: Sequence[Mapping[str, Any]]) -> None:
    """Write what a site's part of the pack holds; whoever writes it last is right."""
    write_whole(folder / _INDEX, json.dumps(rows).encode("ascii"))


def forget_index(folder: Path) -> None:
    """Take the index of a site away, where there is one."""
    (folder / _INDEX).unlink(missing_ok=True)


def read_index(folder: Path) -> list[dict[str, Any]]:
    """Return what a site's part holds; nothing where no index was written."""
    with suppress(FileNotFoundError):
        rows: list[dict[str, Any]] = json.loads((folder / _INDEX).read_bytes())
        return rows
    return []


def clear_packs(*, now: datetime) -> int:
    """Take packs away that were called off, given up, or made long ago; count them.

    So goes a folder without a job too: a worker that was overtaken may write late.
    """
    if not packs_folder().is_dir():
        return 0
    # First the folders: the row of a job is there before its folder.
    folders = [each for each in packs_folder().iterdir() if each.name.isdecimal()]
    of_use = Q(state__in=UNFINISHED) | Q(state="done", ended_at__gte=now - KEPT)
    rows = Job.objects.filter(of_use, kind=PACK).values_list("pk", flat=True)
    kept = {str(pk) for pk in rows}
    gone = [each for each in folders if each.name not in kept]
    for folder in gone:
        shutil.rmtree(folder, ignore_errors=True)
    return len(gone)

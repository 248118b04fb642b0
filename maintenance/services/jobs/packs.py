"""A pack of reports that a job has made, to be taken along."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from maintenance.models import Account, Job
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.jobs.ask import UNFINISHED
from maintenance.services.jobs.pack_files import (
    pack_folder,
    read_index,
    report_file,
    site_folder,
)
from maintenance.services.jobs.queries import JobLine
from maintenance.services.jobs.values import PACK, PRINTED

_GONE: Final = (
    "The files of this pack are not in the data folder any more: ask for it again at "
    "the long jobs."
)


@dataclass(frozen=True, slots=True)
class Pack:
    """What a pack holds: rows of its index, the files of those that were printed.

    ``said`` tells what is missing from it; ``left_out`` counts what is not told.
    """

    first: str
    last: str
    made_at: datetime
    rows: Sequence[tuple[Mapping[str, Any], Path | None]]
    said: Sequence[str]
    left_out: int


def pack_is_there(line: JobLine) -> bool:
    """Tell whether a job has made a pack whose files are kept."""
    made = line.kind == PACK and line.state == "done"
    return made and bool(line.counts.get(PRINTED)) and pack_folder(line.number).is_dir()


def open_pack(account: Account, *, job: int) -> Pack:
    """Return the pack of a job, in one query; its files are there.

    Raises
    ------
    NotFoundError
        If the account has no such pack, or its reader sees some of its sites only.
    ServiceError
        If it is not ready, holds nothing, or its files are gone.
    """
    row = Job.objects.for_account(account).filter(pk=job, kind=PACK).first()
    if row is None or account.site_keys is not None:
        raise NotFoundError("There is no such pack of reports.")
    if row.state in UNFINISHED:
        raise ServiceError(
            "This pack is not ready yet: the long jobs tell how far it is."
        )
    if row.state != "done" or row.ended_at is None:
        raise ServiceError(
            "This pack was never finished: ask for it again at the long jobs."
        )
    if not row.result["counts"].get(PRINTED):
        raise ServiceError("No report of this period was printed: there is no pack.")
    rows = []
    for key in row.asked["sites"]:
        folder = site_folder(job, key)
        for line in read_index(folder):
            file = report_file(folder, line["hash"]) if line["printed"] else None
            rows.append((line, file))
    files = [file for _line, file in rows if file]
    if len(files) != row.result["counts"][PRINTED] or not all(map(Path.is_file, files)):
        raise ServiceError(_GONE)
    return Pack(
        first=row.asked["first"],
        last=row.asked["last"],
        made_at=row.ended_at,
        rows=rows,
        said=row.result["said"],
        left_out=row.result["left_out"],
    )

"""Photos of visits: drawn anew like those of assemblies, without their hidden data."""

from contextlib import suppress
from datetime import datetime
from typing import BinaryIO

from django.db import transaction

from maintenance.models import Account, Visit, VisitPhoto
from maintenance.services.backflow.photos import kept_file, photo_path
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.visits.holding import get_one


def add_visit_photo(
    account: Account,
    *,
    visit_id: int,
    picture: BinaryIO,
    caption: str = "",
    now: datetime,
    actor: str,
) -> int:
    """Keep a photo of a visit, drawn anew; return its number.

    Raises
    ------
    NotFoundError
        If there is no such visit.
    ServiceError
        If it is no photo that can be kept.
    """
    get_one(Visit, account, visit_id)
    with kept_file(picture) as name, transaction.atomic():
        row = VisitPhoto(
            visit=get_one(Visit, account, visit_id),
            file_name=name,
            caption=caption.strip(),
            added_at=now,
            added_by=actor,
        )
        add_rows(VisitPhoto, [row], Act(actor, now))
    return row.pk


def open_visit_photo(account: Account, *, visit_id: int, photo_id: int) -> BinaryIO:
    """Open the file of a photo, in two queries; one that was taken out is not shown."""
    row = _row(account, visit_id, photo_id)
    if row.removed_at is None:
        with suppress(OSError):
            return photo_path(row.file_name).open("rb")
    raise NotFoundError("There is no such photo here.")


@transaction.atomic
def set_visit_photo_removed(
    account: Account,
    *,
    visit_id: int,
    photo_id: int,
    removed: bool,
    now: datetime,
    actor: str,
) -> None:
    """Take a photo out of a visit, or put it back; its file stays."""
    row = _row(account, visit_id, photo_id)
    if (row.removed_at is not None) != removed:
        row.removed_at = now if removed else None
        change_rows(VisitPhoto, [row], ["removed_at"], Act(actor, now))


def demo_photo_files(account: Account) -> list[str]:
    """Return the files that go away with the demonstration; one query."""
    photos = VisitPhoto.objects.filter(visit__account=account, visit__site__demo=True)
    return list(photos.values_list("file_name", flat=True))


def _row(account: Account, visit_id: int, photo_id: int) -> VisitPhoto:
    visit = get_one(Visit, account, visit_id)
    row = VisitPhoto.objects.filter(visit=visit, pk=photo_id).first()
    if row is None:
        raise NotFoundError("There is no such photo here.")
    return row

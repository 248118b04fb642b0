"""Photos of assemblies: only what was drawn anew is kept, without its hidden data.

The file that came in is never kept: it may carry where it was taken, who took it, or
a program behind its picture.
"""

import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from io import BytesIO
from pathlib import Path
from secrets import token_hex
from typing import BinaryIO, Final

from django.conf import settings
from django.db import transaction
from PIL import Image, ImageOps

from maintenance.models import Account, AssemblyPhoto
from maintenance.services.backflow.assembly_rows import hold_assembly
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, add_rows, change_rows

FORMATS: Final = ("JPEG", "PNG", "WEBP")
MOST_BYTES: Final = 15 * 1024 * 1024
MOST_PIXELS: Final = 50_000_000
LONGEST_SIDE: Final = 2560
"""A kept photo is at most so many pixels wide or high (project choice)."""
QUALITY: Final = 85
SUFFIX: Final = ".jpg"

# A picture that unpacks to more than the library finds plausible is refused, whichever
# thread reads it: the filter is set once, since setting it for a while is not safe.
warnings.filterwarnings("error", category=Image.DecompressionBombWarning)

_UNREADABLE: Final = (
    Image.DecompressionBombError,
    Image.DecompressionBombWarning,
    # What the readers of damaged pictures raise, beside what they promise.
    ArithmeticError,
    AttributeError,
    EOFError,
    LookupError,
    MemoryError,
    OSError,
    SyntaxError,
    TypeError,
    ValueError,
    struct.error,
    zlib.error,
)


def add_photo(
    account: Account,
    *,
    device_id: int,
    picture: BinaryIO,
    caption: str = "",
    now: datetime,
    actor: str,
) -> int:
    """Keep a photo of an assembly, drawn anew; return its number.

    Raises
    ------
    ServiceError
        If it is no photo that can be kept.
    """
    with kept_file(picture) as name, transaction.atomic():
        row = AssemblyPhoto(
            device=hold_assembly(account, device_id),
            file_name=name,
            caption=caption.strip(),
            added_at=now,
            added_by=actor,
        )
        add_rows(AssemblyPhoto, [row], Act(actor, now))
    return row.pk


@contextmanager
def kept_file(picture: BinaryIO) -> Iterator[str]:
    """Keep a picture, drawn anew, and give its file's name; it goes if the row fails.

    Raises
    ------
    ServiceError
        If it is no photo that can be kept, or the folder takes none.
    """
    drawn = redraw(picture)
    name = f"{token_hex(24)}{SUFFIX}"
    path = photo_path(name)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(drawn)
        yield name
    except OSError as fault:
        forget_files([name])
        raise ServiceError(
            f"The photo could not be written to the data folder ({fault.strerror}): "
            "make room there, then send it again."
        ) from fault
    except BaseException:
        forget_files([name])
        raise


def redraw(picture: BinaryIO) -> bytes:
    """Return a picture as a fresh JPEG: upright, of moderate size, and nothing else.

    Raises
    ------
    ServiceError
        In one sentence, if it is too large or no JPEG, PNG or WebP picture.
    """
    data = picture.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise ServiceError(
            f"The photo is larger than {MOST_BYTES // 1024**2} MB: choose a smaller one."
        )
    if not data:
        raise ServiceError("The file is empty: choose a photo.")
    try:
        with Image.open(BytesIO(data), formats=FORMATS) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                raise _too_many()
            opened.load()
            upright = ImageOps.exif_transpose(opened)
            upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
            plain = _on_white(upright)
            out = BytesIO()
            plain.save(out, "JPEG", quality=QUALITY)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as fault:
        raise _too_many() from fault
    except _UNREADABLE as fault:
        raise ServiceError(
            "This is no JPEG, PNG or WebP picture that can be read whole: choose a photo."
        ) from fault
    return out.getvalue()


def _on_white(picture: Image.Image) -> Image.Image:
    """Put a picture on a white ground; what it carries beside its pixels stays behind."""
    clear = picture.convert("RGBA")
    ground = Image.new("RGB", clear.size, "white")
    ground.paste(clear, mask=clear.getchannel("A"))
    return ground


def _too_many() -> ServiceError:
    return ServiceError(
        f"The photo has more than {MOST_PIXELS // 10**6} million pixels: choose a "
        "smaller one."
    )


def open_photo(account: Account, *, device_id: int, photo_id: int) -> BinaryIO:
    """Open the file of a photo, in one query; one that was taken out is not shown."""
    row = _row(account, device_id, photo_id)
    if row.removed_at is None:
        with suppress(OSError):
            return photo_path(row.file_name).open("rb")
    raise NotFoundError("There is no such photo here.")


@transaction.atomic
def set_photo_removed(
    account: Account,
    *,
    device_id: int,
    photo_id: int,
    removed: bool,
    now: datetime,
    actor: str,
) -> None:
    """Take a photo out of the register, or put it back; its file stays."""
    row = _row(account, device_id, photo_id)
    if (row.removed_at is not None) != removed:
        row.removed_at = now if removed else None
        change_rows(AssemblyPhoto, [row], ["removed_at"], Act(actor, now))


def photo_path(name: str) -> Path:
    """Return where the file of a photo lies."""
    return Path(settings.DATA_DIR) / "photos" / name


def forget_files(names: list[str]) -> None:
    """Delete files of photos that no row names any more."""
    for name in names:
        with suppress(OSError):
            photo_path(name).unlink(missing_ok=True)


def _row(account: Account, device_id: int, photo_id: int) -> AssemblyPhoto:
    row = (
        AssemblyPhoto.objects.for_account(account)
        .filter(device=device_id, pk=photo_id)
        .first()
    )
    if row is None:
        raise NotFoundError("There is no such photo here.")
    return row

"""The secret key: made once, at the first use, in the data folder.

Settings hold it as a lazy object, so that a command which signs nothing (a
calculation, a site read from a file) neither needs nor makes the data folder.
"""

import os
import secrets
import stat
import tempfile
from pathlib import Path

from django.core.exceptions import ImproperlyConfigured

KEY_FILE = "secret_key"
KEY_BYTES = 48


def make_data_folder(folder: Path) -> None:
    """Make the data folder, open to its owner alone, unless it is there."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as fault:
        raise ImproperlyConfigured(
            f"The data folder {folder} cannot be made ({fault.strerror}): set "
            "IRRIGATION_DATA to a folder that you may write to."
        ) from fault


def read_or_make_secret_key(folder: Path) -> str:
    """Return the key kept in `folder`, making it there at the very first call."""
    path = folder / KEY_FILE
    try:
        return _read(path)
    except (FileNotFoundError, NotADirectoryError):
        make_data_folder(folder)
    try:
        _publish(path, secrets.token_urlsafe(KEY_BYTES))
    except FileExistsError:
        pass  # another process was first: its key is the key
    except OSError as fault:
        raise ImproperlyConfigured(
            f"The secret key cannot be kept in {folder} ({fault.strerror}): set "
            "IRRIGATION_DATA to a folder on a disk of this machine that you may "
            "write to."
        ) from fault
    return _read(path)


def _publish(path: Path, key: str) -> None:
    """Put the whole key under its name at once, or fail where the name is taken.

    The text goes to a file of its own first (made with O_EXCL, mode 0600); the
    hard link is the one step that others see, so nobody reads half a key.
    """
    descriptor, draft = tempfile.mkstemp(prefix=f"{path.name}.", dir=path.parent)
    try:
        with os.fdopen(descriptor, "w", encoding="ascii") as stream:
            stream.write(key)
            stream.flush()
            os.fsync(stream.fileno())
        os.link(draft, path)
    finally:
        Path(draft).unlink()


def _read(path: Path) -> str:
    try:
        with path.open(encoding="ascii") as stream:
            mode = stat.S_IMODE(os.fstat(stream.fileno()).st_mode)
            key = stream.read().strip()
    except (FileNotFoundError, NotADirectoryError):
        raise
    except (OSError, UnicodeDecodeError) as fault:
        raise ImproperlyConfigured(
            f"The secret key {path} cannot be read ({fault}): give the file back to "
            "yourself, or delete it and a new one is made (people sign in again)."
        ) from fault
    # Windows keeps no such modes; there the folder's own rights decide.
    if os.name == "posix" and mode & 0o077:
        raise ImproperlyConfigured(
            f"The secret key {path} can be read by others (mode {mode:04o}): run "
            f"`chmod 600 {path}`, or delete it and a new one is made."
        )
    if len(key) < KEY_BYTES:
        raise ImproperlyConfigured(
            f"The secret key {path} is damaged (too short): delete it and a new one "
            "is made (people sign in again)."
        )
    return key

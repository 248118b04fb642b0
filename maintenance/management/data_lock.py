"""One `serve` at a time works on a data folder: its worker takes the tasks there."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from django.core.management import CommandError

from irrigation_site.secret_key import make_data_folder

LOCK_FILE: Final = "serve.lock"


@contextmanager
def hold_data_folder(folder: Path) -> Iterator[None]:
    """Hold the folder until the end, or refuse with a `CommandError` of one sentence.

    The lock is the system's own and ends with its process, however that ends; where
    the system has none (Windows) none is taken.
    """
    try:
        import fcntl  # noqa: PLC0415  (absent on Windows)
    except ImportError:
        yield
        return
    make_data_folder(folder)
    with (folder / LOCK_FILE).open("a", encoding="ascii") as held:
        try:
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as fault:
            raise CommandError(
                f"The data folder {folder} is being served already, perhaps in another "
                "window: stop that one, or set IRRIGATION_DATA to another folder."
            ) from fault
        yield

"""A backup as one file: each table as lines of JSON, each photo, and what they must be.

It is a ZIP archive. ``manifest.json`` names what was kept, the migrations that the
tables are of, and for each entry its size and its SHA-256; ``tables/NAME.jsonl`` holds
one row a line, its columns in the manifest's order; ``photos/NAME`` are as they were.
The same file goes into either database, and so it is the road from one to the other.
"""

import errno
import hashlib
import json
import re
import shutil
import struct
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from maintenance.engine.errors import EngineError

FORMAT: Final = "irrigation-backup/1"
_MANIFEST: Final = "manifest.json"
_TABLE: Final = re.compile(r"[a-z][a-z0-9_]{0,99}")
_PHOTO: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,99}")
_LONGEST_MANIFEST: Final = 10_000_000
_BLOCK: Final = 1 << 20

_DAMAGE: Final = (
    *(zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError),
    *(AttributeError, KeyError, OverflowError, TypeError, ValueError, struct.error),
)
"""What reading an archive fails with when its bytes are not what they were."""

Row = Sequence[Any]


class BackupError(EngineError):
    """A file that is no backup, or one that is not whole any more."""


@dataclass(frozen=True, slots=True)
class Table:
    """A table of the manifest: its columns, its rows, the last number given out."""

    name: str
    columns: Sequence[str]
    rows: int
    last_id: int | None
    sha256: str


class BackupWriter:
    """Takes tables and photos, and ends with the manifest."""

    def __init__(self, archive: zipfile.ZipFile) -> None:
        self._archive = archive
        self._tables: dict[str, dict[str, Any]] = {}
        self._photos: dict[str, dict[str, Any]] = {}

    def add_table(
        self,
        name: str,
        *,
        columns: Sequence[str],
        rows: Iterable[Row],
        last_id: int | None,
    ) -> int:
        """Write the rows of a table as they come; return their number."""
        count, digest = 0, hashlib.sha256()
        with self._archive.open(f"tables/{name}.jsonl", "w", force_zip64=True) as out:
            for row in rows:
                line = json.dumps(row, separators=(",", ":")).encode("ascii") + b"\n"
                digest.update(line)
                out.write(line)
                count += 1
        self._tables[name] = {
            "columns": list(columns),
            "rows": count,
            "last_id": last_id,
            "sha256": digest.hexdigest(),
        }
        return count

    def add_photo(self, path: Path) -> None:
        """Write a photo under its own name."""
        digest = hashlib.sha256()
        with (
            path.open("rb") as source,
            self._archive.open(f"photos/{path.name}", "w", force_zip64=True) as out,
        ):
            while block := source.read(_BLOCK):
                digest.update(block)
                out.write(block)
        self._photos[path.name] = {"sha256": digest.hexdigest()}

    def end(self, *, told: Mapping[str, Any]) -> None:
        """Write the manifest, with what else is to be told in it."""
        manifest = {
            "format": FORMAT,
            **told,
            "tables": self._tables,
            "photos": self._photos,
        }
        self._archive.writestr(_MANIFEST, json.dumps(manifest, indent=1))


@contextmanager
def write_backup(path: Path) -> Iterator[BackupWriter]:
    """Write a backup that gets its name only when it is whole; nothing is replaced.

    Raises
    ------
    BackupError
        If there is such a file already.
    """
    if path.exists():
        raise BackupError(f"There is a file {path} already: name another one.")
    draft = path.with_name(f"{path.name}.part")
    draft.unlink(missing_ok=True)
    draft.touch(mode=0o600)
    try:
        with zipfile.ZipFile(draft, "w", zipfile.ZIP_DEFLATED, allowZip64=True) as out:
            yield BackupWriter(out)
        draft.rename(path)
    finally:
        draft.unlink(missing_ok=True)


class BackupReader:
    """A backup that was opened."""

    def __init__(self, archive: zipfile.ZipFile, manifest: Mapping[str, Any]) -> None:
        self._archive, self.manifest = archive, manifest
        self.tables = [
            Table(_named(name, _TABLE), **told)
            for name, told in manifest["tables"].items()
        ]
        self.photos: dict[str, str] = {
            _named(name, _PHOTO): told["sha256"]
            for name, told in manifest["photos"].items()
        }
        self.migrations = [
            (str(app), str(name)) for app, name in manifest["migrations"]
        ]

    def rows(self, table: Table) -> Iterator[Row]:
        """Yield the rows of a table."""
        with self._archive.open(f"tables/{table.name}.jsonl") as lines:
            for line in lines:
                yield json.loads(line)

    def check(self) -> None:
        """Read all of it once, and compare it with what was written."""
        for table in self.tables:
            count, digest = 0, hashlib.sha256()
            with self._archive.open(f"tables/{table.name}.jsonl") as lines:
                for line in lines:
                    digest.update(line)
                    count += 1
            if (count, digest.hexdigest()) != (table.rows, table.sha256):
                raise BackupError(
                    f"The table {table.name} of this backup is not as it was written: "
                    "take another backup."
                )
        for name, wanted in self.photos.items():
            with self._archive.open(f"photos/{name}") as photo:
                if hashlib.file_digest(photo, "sha256").hexdigest() != wanted:  # type: ignore[arg-type]
                    raise BackupError(
                        f"The photo {name} of this backup is not as it was written: "
                        "take another backup."
                    )

    def put_photo(self, name: str, target: Path) -> None:
        """Write a photo to a path; one that is there must be the same."""
        wanted = self.photos[name]
        if target.exists():
            if hashlib.sha256(target.read_bytes()).hexdigest() != wanted:
                raise BackupError(
                    f"There is another photo {target} already: name an empty folder."
                )
            return
        draft = target.with_name(f"{name}.part")
        with self._archive.open(f"photos/{name}") as source, draft.open("wb") as out:
            shutil.copyfileobj(source, out, _BLOCK)
        draft.rename(target)


@contextmanager
def open_backup(path: Path) -> Iterator[BackupReader]:
    """Open a backup, after all of it was compared with what was written.

    Raises
    ------
    BackupError
        If it is none, of another format, or damaged.
    """
    with ExitStack() as opened:
        try:
            archive = opened.enter_context(zipfile.ZipFile(path))
            backup = BackupReader(archive, _manifest(path, archive))
            backup.check()
        except BackupError:
            raise
        except (OSError, *_DAMAGE) as fault:
            # A place before the file's begin is damage; all else the system says itself.
            if isinstance(fault, OSError) and fault.errno != errno.EINVAL:
                raise
            raise BackupError(
                f"{path} is no backup of this tool, or not whole any more "
                f"({type(fault).__name__}): name another file that `backup` has written."
            ) from fault
        yield backup


def _manifest(path: Path, archive: zipfile.ZipFile) -> dict[str, Any]:
    if archive.getinfo(_MANIFEST).file_size > _LONGEST_MANIFEST:
        raise BackupError(
            f"{path} is no backup of this tool: its manifest is too long."
        )
    manifest: dict[str, Any] = json.loads(archive.read(_MANIFEST))
    if manifest["format"] != FORMAT:
        raise BackupError(
            f"{path} is of the format {manifest['format']}, and this program reads "
            f"{FORMAT}: restore it with the program that wrote it."
        )
    return manifest


def _named(name: str, pattern: re.Pattern[str]) -> str:
    if not pattern.fullmatch(name):
        raise ValueError(name)
    return name


def sum_of(path: Path) -> str:
    """Return the SHA-256 of a whole file."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()

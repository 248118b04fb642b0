"""A pack of test reports as one ZIP file with an index, made while it is sent.

Nothing of it is held but one block of one file: a pack may be larger than the memory.
"""

import re
import zipfile
from collections.abc import Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from maintenance.engine.backflow.verdict_words import RESULT_WORDS
from maintenance.exchange.csv_cells import csv_text
from maintenance.services.jobs.packs import Pack

COLUMNS: Final = (
    *("file", "site", "site_name", "assembly", "kind", "serial"),
    *("test", "tested_on", "result", "signed_by"),
    *("follows", "corrects", "corrected_by", "filed", "hash"),
)
INDEX: Final = "index.csv"
MISSING: Final = "not in this pack.txt"

_BLOCK: Final = 1 << 18
_UNFIT: Final = re.compile(r"[^\w.-]+")
_LONGEST: Final = 60
_FIRST_MOMENT: Final = (1980, 1, 1, 0, 0, 0)
"""No archive of this kind knows an earlier one."""


class _Outlet:
    """Takes what an archive writes, and gives it away block by block."""

    def __init__(self) -> None:
        self._parts: list[bytes] = []

    def write(self, part: bytes) -> int:
        self._parts.append(bytes(part))
        return len(part)

    def flush(self) -> None:
        """Have nothing to do: the sender takes what is there."""

    def close(self) -> None:
        """Likewise."""

    def taken(self) -> bytes:
        parts, self._parts = self._parts, []
        return b"".join(parts)


def pack_name(pack: Pack) -> str:
    """Return the name of the whole file."""
    return f"test-reports-{pack.first}-to-{pack.last}.zip"


def pack_stream(pack: Pack) -> Iterator[bytes]:
    """Yield the ZIP file: what is missing, the index, then the reports as they are.

    A file that goes while it is sent ends the stream without its directory, so that
    no program takes what came for the whole.
    """
    outlet = _Outlet()
    with zipfile.ZipFile(outlet, "w") as archive:
        for name, text in _texts(pack):
            # The mark lets spreadsheets read the letters as they are.
            archive.writestr(_member(name, pack.made_at), text.encode("utf-8-sig"))
        yield outlet.taken()
        for line, file in pack.rows:
            if file is not None:
                day = datetime.fromisoformat(line["tested_on"])
                for _block in _copied(archive, _member(file_name(line), day), file):
                    yield outlet.taken()
    yield outlet.taken()


def file_name(line: Mapping[str, Any]) -> str:
    """Name a report, such as ``oak-row_B1_2026-04-15_test-7.pdf``.

    The number keeps names apart; a report that a correction has replaced says so.
    """
    number = f"demonstration-{line['number']}" if line["demo"] else line["number"]
    parts = [line["site_key"], line["link"], line["tested_on"], f"test-{number}"]
    if line["corrected_by"]:
        parts.append(f"replaced-by-{line['corrected_by']}")
    return "_".join(_plain(str(part)) for part in parts) + ".pdf"


def _texts(pack: Pack) -> Iterator[tuple[str, str]]:
    if pack.said:
        more = [f"and {pack.left_out} more"] if pack.left_out else []
        yield MISSING, "\r\n".join([*pack.said, *more, ""])
    yield INDEX, csv_text(COLUMNS, (_row(line, file) for line, file in pack.rows))


def _row(line: Mapping[str, Any], file: Path | None) -> dict[str, Any]:
    return {
        **line,
        "file": file_name(line) if file else "",
        "site": line["site_key"],
        "assembly": line["link"],
        "test": line["number"],
        "result": RESULT_WORDS[line["result"]],
    }


def _copied(
    archive: zipfile.ZipFile, member: zipfile.ZipInfo, file: Path
) -> Iterator[None]:
    with file.open("rb") as source, archive.open(member, "w") as out:
        while block := source.read(_BLOCK):
            out.write(block)
            yield


def _member(name: str, moment: datetime) -> zipfile.ZipInfo:
    year, month, day, hour, minute, second, *_rest = moment.timetuple()
    dated = max((year, month, day, hour, minute, second), _FIRST_MOMENT)
    member = zipfile.ZipInfo(name, dated)
    member.external_attr = 0o600 << 16
    return member


def _plain(text: str) -> str:
    """Leave nothing in a name that leads elsewhere or that some system refuses."""
    return _UNFIT.sub("-", text)[:_LONGEST].strip("-.") or "-"

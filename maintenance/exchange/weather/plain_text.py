"""The text of a weather file, and what is wrong with its lines."""

from typing import Final

from maintenance.engine.site.faults import Fault, Faults
from maintenance.engine.site.wording import shown

WHOLE: Final = "file"
LARGEST_BYTES: Final = 64_000_000
MOST_LISTED: Final = 20
"""Faults told one by one; a file of another kind has one in every line."""

_PACKED: Final = (b"\x1f\x8b", b"PK\x03\x04", b"BZh", b"\xfd7zXZ")


class LineFaults:
    """Faults of a file as they are met, line by line."""

    def __init__(self) -> None:
        self._faults: list[Fault] = []
        self._more = 0

    def add(self, line: int, text: str) -> None:
        """Note a fault of a line."""
        self.add_at(f"line {line}", text)

    def add_at(self, path: str, text: str) -> None:
        """Note a fault of a place that has a path, as in JSON."""
        if len(self._faults) < MOST_LISTED:
            self._faults.append(Fault(path, text))
        else:
            self._more += 1

    def refuse_any(self) -> None:
        """Refuse the file if anything is wrong with it."""
        if self._more:
            text = f"has {self._more:,} more faults; mend these first"
            self._faults.append(Fault(WHOLE, text))
        if self._faults:
            raise Faults(self._faults)


def refused(text: str) -> Faults:
    """Return the refusal of a whole file.

    Parameters
    ----------
    text : str
        What is wrong with it, and the mend; "file:" goes before. [-]

    Returns
    -------
    Faults
        To be raised. [-]
    """
    return Faults([Fault(WHOLE, text)])


def plain_text(content: str | bytes) -> str:
    """Return the text of a file.

    Parameters
    ----------
    content : str or bytes
        A file's content; bytes are UTF-8, a byte order mark is passed over. [-]

    Returns
    -------
    str
        Its text, with something other than blanks in it. [-]

    Raises
    ------
    Faults
        If it is too long, packed, empty or not UTF-8.
    """
    if len(content) > LARGEST_BYTES:
        million = 1_000_000
        raise refused(
            f"is {len(content) / million:.0f} MB long; the tool reads at most "
            f"{LARGEST_BYTES // million} MB, so leave out the years or columns that "
            "are not needed"
        )
    if isinstance(content, bytes):
        if content.startswith(_PACKED):
            raise refused("is packed; unpack it first")
        content = _decoded(content)
    text = content.removeprefix("\ufeff")
    if not text.strip():
        raise refused("is empty; give a series of daily temperatures")
    return text


def _decoded(content: bytes) -> str:
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        text = f"is not UTF-8 (byte {error.start + 1}); save the file as UTF-8"
        raise Faults([Fault(f"line {line}", text)]) from error


def quoted(text: str) -> str:
    """Return a piece of a file in quotes, short and printable.

    Parameters
    ----------
    text : str
        As it stands in the file. [-]

    Returns
    -------
    str
        Fit to stand in a sentence. [-]
    """
    return f'"{shown(text.strip())}"'

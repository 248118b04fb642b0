"""Faults of a record: where, what is wrong, and how to mend it."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from maintenance.engine.errors import EngineError
from maintenance.engine.site.wording import LONGEST_SHOWN, shown

_PLAIN_KEY = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: its place, such as ``links[12].length``, and one sentence."""

    path: str
    text: str

    def __str__(self) -> str:
        """Return the fault as one line."""
        return f"{self.path}: {self.text}"


class Faults(EngineError):
    """A record that is refused, with everything that is wrong with it.

    Parameters
    ----------
    faults : iterable of Fault
        At least one. [-]
    """

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(dict.fromkeys(faults))
        super().__init__("\n".join(str(fault) for fault in self.faults))


def join(path: str, key: str) -> str:
    """Return the path of a key inside an object.

    Parameters
    ----------
    path : str
        Path of the object, empty at the top. [-]
    key : str
        The key as in the file. [-]

    Returns
    -------
    str
        The path of the value. [-]

    Examples
    --------
    >>> join("links[12]", "length"), join("", "odd key")
    ('links[12].length', '["odd key"]')
    """
    if not _PLAIN_KEY.fullmatch(key) or len(key) > LONGEST_SHOWN:
        return f'{path}["{shown(key)}"]'
    return f"{path}.{key}" if path else key

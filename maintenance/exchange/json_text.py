"""JSON as this tool reads and writes it: strict, in UTF-8, two spaces, LF."""

import json
from typing import Any, Final

from maintenance.engine.site.faults import Fault, Faults, join

WHOLE: Final = "file"
LARGEST_BYTES: Final = 16_000_000
DEEPEST: Final = 20


class _Object(dict[str, Any]):
    """An object that remembers which of its keys were given twice."""

    repeated: tuple[str, ...] = ()


def parse_json(text: str | bytes) -> tuple[object, tuple[Fault, ...]]:
    """Read JSON, and find keys that are given twice.

    Parameters
    ----------
    text : str or bytes
        A file's content; bytes are UTF-8, a byte order mark is passed over. [-]

    Returns
    -------
    tuple of object and tuple of Fault
        The value, and a fault for each repeated key. [-]

    Raises
    ------
    Faults
        If the text is no JSON, too long or too deeply nested.
    """
    if len(text) > LARGEST_BYTES:
        million = 1_000_000
        raise _refused(
            f"is {len(text) / million:.0f} MB long; the tool reads at most "
            f"{LARGEST_BYTES // million} MB, so split it"
        )
    try:
        plain = _decoded(text)
        value = json.loads(plain, object_pairs_hook=_object_of)
    except json.JSONDecodeError as error:
        raise _refused(
            f"is no JSON at line {error.lineno}, column {error.colno} "
            f"({error.msg[0].lower()}{error.msg[1:]}); mend it there"
        ) from error
    except RecursionError as error:
        raise _too_deep() from error
    except ValueError as error:
        # Python refuses to turn thousands of digits into a number.
        raise _refused("holds a number with thousands of digits; shorten it") from error
    return value, tuple(_repeated(value))


def json_text(record: object) -> str:
    """Write a record as a file: two spaces, LF, one at the end.

    Parameters
    ----------
    record : object
        What JSON can hold, keys in the order to write. [-]

    Returns
    -------
    str
        The file's content. [-]
    """
    text = json.dumps(record, ensure_ascii=False, indent=2, allow_nan=False)
    return f"{text}\n"


def _refused(text: str) -> Faults:
    return Faults([Fault(WHOLE, text)])


def _too_deep() -> Faults:
    return _refused(
        f"has lists or objects nested more than {DEEPEST} deep; look for a bracket "
        "that is not closed"
    )


def _decoded(text: str | bytes) -> str:
    if isinstance(text, bytes):
        try:
            text = text.decode("utf-8")
        except UnicodeDecodeError as error:
            raise _refused(
                f"is not UTF-8 at byte {error.start + 1}; save it as UTF-8"
            ) from error
    text = text.removeprefix("\ufeff")
    if not text.strip():
        raise _refused("is empty; write the record into it")
    return text


def _object_of(pairs: list[tuple[str, Any]]) -> _Object:
    made = _Object(pairs)
    if len(made) != len(pairs):
        seen: set[str] = set()
        repeated: dict[str, None] = {}
        for key, _ in pairs:
            if key in seen:
                repeated[key] = None
            seen.add(key)
        made.repeated = tuple(repeated)
    return made


def _repeated(value: object) -> list[Fault]:
    """Walk the value, without calling itself, for repeated keys and depth."""
    faults: list[Fault] = []
    waiting: list[tuple[str, int, object]] = [("", 0, value)]
    while waiting:
        path, depth, each = waiting.pop()
        if depth > DEEPEST:
            raise _too_deep()
        if isinstance(each, _Object):
            text = "this key is given twice in one object; keep one"
            faults.extend(Fault(join(path, key), text) for key in each.repeated)
            inside = [(join(path, key), below) for key, below in each.items()]
        elif isinstance(each, list):
            inside = [(f"{path}[{n}]", below) for n, below in enumerate(each)]
        else:
            continue
        waiting.extend(
            (at, depth + 1, below)
            for at, below in reversed(inside)
            if isinstance(below, _Object | list)
        )
    return faults

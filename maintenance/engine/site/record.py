"""Between plain JSON objects and the value types.

Nothing here reads a file: a file, a form and a table row all pass through here.
"""

import dataclasses
from typing import Any, TypeVar

from maintenance.engine.site.faults import Fault, Faults
from maintenance.engine.site.reading import read_draft
from maintenance.engine.site.shapes import fields_of
from maintenance.engine.site.whole import Site
from maintenance.engine.units import Quantity

__all__ = ["Fault", "Faults", "from_record", "read_draft", "to_record"]

Value = TypeVar("Value")


def from_record(cls: type[Value], record: object, path: str = "") -> Value:
    """Read a plain object as a value type.

    Parameters
    ----------
    cls : type
        A value type of `maintenance.engine.site`. [-]
    record : object
        What JSON holds: objects, lists, texts, numbers, true, false and null. [-]
    path : str
        Where the record stands in what the person sees. [-]

    Returns
    -------
    value
        The value, texts as entered. [-]

    Raises
    ------
    Faults
        With everything that is wrong.

    Examples
    --------
    >>> from maintenance.engine.site import Hose
    >>> from_record(Hose, {"inside_diameter": "3/4 in", "length": "50"})
    Traceback (most recent call last):
    maintenance.engine.site.faults.Faults: length: "50" has no unit; write "50 ft"
    """
    value, faults = read_draft(cls, record, path)
    if faults:
        raise Faults(faults)
    return value


def to_record(value: object) -> dict[str, Any]:
    """Turn a value into a plain object, as entered and in the order of the keys.

    Parameters
    ----------
    value : object
        A value of `maintenance.engine.site`. [-]

    Returns
    -------
    dict
        What `from_record` reads as the same value. What is not known is left out.
        [-]
    """
    record: dict[str, Any] = {}
    cls: type = type(value)
    for field in fields_of(cls):
        entry = getattr(value, field.name)
        if entry is None or (entry == () and field.default == ()):
            # An empty list of points says something; an empty list of notes does not.
            laid_out = isinstance(value, Site) and value.card is None
            if not (laid_out and field.name in ("points", "links")):
                continue
        record[field.key] = _plain(entry)
    return record


def _plain(entry: object) -> object:
    if isinstance(entry, Quantity):
        if entry.origin == "stated":
            return entry.text
        return {"value": entry.text, "origin": entry.origin}
    if isinstance(entry, tuple):
        return [_plain(each) for each in entry]
    if dataclasses.is_dataclass(entry):
        return to_record(entry)
    return entry

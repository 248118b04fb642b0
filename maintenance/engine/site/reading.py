"""Reading of plain objects as value types, driven by the annotations.

A record is read whole: every fault is found in one go, each with its path and how
to mend it.
"""

import re
from collections.abc import Iterable
from typing import Any, Final, TypeVar, cast

from maintenance.engine.errors import InputError
from maintenance.engine.site.faults import Fault, join
from maintenance.engine.site.quantities import READ_ORIGINS, read_quantity
from maintenance.engine.site.requirements import is_required, needs
from maintenance.engine.site.scalars import (
    read_choice,
    read_flag,
    read_number,
    read_text,
)
from maintenance.engine.site.shapes import (
    ChoiceShape,
    Field,
    FlagShape,
    KindsShape,
    ListShape,
    NumberShape,
    PairShape,
    QuantityShape,
    RecordShape,
    Shape,
    TextShape,
    fields_of,
    keys_of,
)
from maintenance.engine.site.wording import (
    EXAMPLES,
    described,
    listed,
    nearest,
    what_to_write,
)
from maintenance.engine.units import Quantity

Value = TypeVar("Value")
HINTS: Final = 200
NOT_READ: Final = Quantity(float("nan"), "")


def read_draft(
    cls: type[Value], record: object, path: str = ""
) -> tuple[Value, tuple[Fault, ...]]:
    """Read a record as far as it can be read.

    Parameters
    ----------
    cls : type
        A value type of `maintenance.engine.site`. [-]
    record : object
        What JSON holds. [-]
    path : str
        Where the record stands. [-]

    Returns
    -------
    tuple of value and tuple of Fault
        The value and what is wrong. Where anything is wrong the value is only good
        for finding further faults: what could not be read is an empty text, a
        quantity that is not a number, or None. [-]
    """
    faults: list[Fault] = []
    value = _read_object(cls, record, path, faults)
    return cast("Value", value), tuple(faults)


def _read_object(cls: type, record: object, path: str, faults: list[Fault]) -> object:
    if not isinstance(record, dict):
        where = path or cls.__name__.lower()
        mend = what_to_write(RecordShape(cls))
        faults.append(Fault(where, f"{described(record)} is not an object; {mend}"))
        return _read_object(cls, {}, path, [])
    start = len(faults)
    _refuse_unknown_keys(cls, record, path, faults)
    values = {
        field.name: _read_field(
            field, record, path, faults, required=is_required(cls, field, record)
        )
        for field in fields_of(cls)
    }
    value = cls(**values)
    known = {_key_of(fault.path, path) for fault in faults[start:]}
    faults.extend(
        Fault(join(path, key), text) for key, text in needs(value) if key not in known
    )
    return value


def _key_of(path_inside: str, path: str) -> str:
    """Return the key of a record at or below which a path lies."""
    return re.split(r"[.\[]", path_inside[len(path) :].lstrip("."), maxsplit=1)[0]


def _near(word: str, known: Iterable[str], faults: list[Fault]) -> str:
    # Likeness is slow to find, and nobody reads two hundred hints.
    return nearest(word, known) if len(faults) < HINTS else ""


def _refuse_unknown_keys(
    cls: type, record: dict[Any, Any], path: str, faults: list[Fault]
) -> None:
    known = keys_of(cls)
    for key in record:
        if key not in known:
            word = str(key)
            keys = (field.key for field in fields_of(cls))
            near = _near(word, known, faults) or f"; the keys here are {listed(keys)}"
            faults.append(Fault(join(path, word), f"this key is not known here{near}"))


def _read_field(
    field: Field,
    record: dict[Any, Any],
    path: str,
    faults: list[Fault],
    *,
    required: bool,
) -> object:
    where = join(path, field.key)
    if field.key not in record:
        if not required:
            return field.default
        mend = EXAMPLES.get(field.key) or what_to_write(field.shape)
        faults.append(Fault(where, f"is missing; {mend}"))
        return _placeholder(field)
    entered = record[field.key]
    if entered is None and field.nullable:
        return None
    before = len(faults)
    value = _read(field.shape, entered, where, faults)
    if len(faults) == before or isinstance(field.shape, ListShape | RecordShape):
        return value
    return _placeholder(field)


def _read(shape: Shape, entered: object, path: str, faults: list[Fault]) -> object:
    value: object = None
    match shape:
        case RecordShape():
            value = _read_object(shape.cls, entered, path, faults)
        case KindsShape():
            value = _read_kind(shape, entered, path, faults)
        case ListShape():
            value = _read_list(shape, entered, path, faults)
        case PairShape():
            value = _read_pair(shape, entered, path, faults)
        case QuantityShape() if isinstance(entered, dict):
            value = _read_origin(shape, entered, path, faults)
        case _:
            try:
                value = _read_scalar(shape, entered)
            except InputError as error:
                faults.append(Fault(path, error.text))
    return value


def _read_scalar(
    shape: QuantityShape | NumberShape | TextShape | FlagShape | ChoiceShape,
    entered: object,
) -> object:
    match shape:
        case QuantityShape():
            return read_quantity(entered, shape.measure)
        case NumberShape():
            return read_number(entered, shape)
        case TextShape():
            return read_text(entered, shape)
        case FlagShape():
            return read_flag(entered)
        case ChoiceShape():
            return read_choice(entered, shape)


def _read_origin(
    shape: QuantityShape, entered: dict[Any, Any], path: str, faults: list[Fault]
) -> object:
    """Read ``{"value": …, "origin": …}``."""
    before = len(faults)
    for key in entered:
        if key not in ("value", "origin"):
            text = 'this key is not known here; write only "value" and "origin"'
            faults.append(Fault(join(path, str(key)), text))
    origin = "stated"
    if "origin" not in entered:
        text = f"is missing; choose of {listed(READ_ORIGINS)}, or write the text alone"
        faults.append(Fault(join(path, "origin"), text))
    else:
        choice = ChoiceShape(READ_ORIGINS)
        origin = str(_read(choice, entered["origin"], join(path, "origin"), faults))
    if "value" not in entered:
        text = f"is missing; {what_to_write(shape)}"
        faults.append(Fault(join(path, "value"), text))
        return None
    try:
        value = read_quantity(entered["value"], shape.measure, origin)
    except InputError as error:
        faults.append(Fault(join(path, "value"), error.text))
        return None
    return value if len(faults) == before else None


def _read_kind(
    shape: KindsShape, entered: object, path: str, faults: list[Fault]
) -> object:
    """Read an object whose ``kind`` says what it is."""
    classes = dict(shape.kinds)
    if not isinstance(entered, dict):
        text = f'{described(entered)} is not an object; write one with "id" and "kind"'
        faults.append(Fault(path, text))
        return _stand_in(shape, {}, path)
    kind = entered.get("kind")
    if isinstance(kind, str) and kind in classes:
        return _read_object(classes[kind], entered, path, faults)
    if "kind" not in entered:
        text = f"is missing; choose of {listed(classes)}"
    else:
        near = _near(kind, classes, faults) if isinstance(kind, str) else ""
        text = f"{described(kind)} is no kind{near}; choose of {listed(classes)}"
    faults.append(Fault(join(path, "kind"), text))
    return _stand_in(shape, entered, path)


def _stand_in(shape: KindsShape, entered: dict[Any, Any], path: str) -> object:
    """Read a part of no known kind for its id and ends only."""
    plainest = min(
        shape.classes,
        key=lambda cls: sum(field.required for field in fields_of(cls)),
    )
    return _read_object(plainest, entered, path, [])


def _read_list(
    shape: ListShape, entered: object, path: str, faults: list[Fault]
) -> tuple[object, ...]:
    if not isinstance(entered, list | tuple):
        text = f"{described(entered)} is not a list; write it in square brackets"
        faults.append(Fault(path, text))
        return ()
    if len(entered) > shape.limit:
        text = f"has {len(entered)} items; the tool takes at most {shape.limit}"
        faults.append(Fault(path, f"{text}, so split it or leave some out"))
        return ()
    return tuple(
        _read(shape.item, item, f"{path}[{index}]", faults)
        for index, item in enumerate(entered)
    )


def _read_pair(
    shape: PairShape, entered: object, path: str, faults: list[Fault]
) -> object:
    if not isinstance(entered, list | tuple) or len(entered) != 2:
        text = f"{described(entered)} is not a pair of numbers; write one like [12, 30]"
        faults.append(Fault(path, text))
        return None
    return tuple(
        _read(shape.item, item, f"{path}[{index}]", faults)
        for index, item in enumerate(entered)
    )


def _placeholder(field: Field) -> object:
    """Return what stands in a draft for a value that could not be read."""
    value: object = None
    match field.shape:
        case _ if field.nullable:
            pass
        case ChoiceShape() if field.name == "kind":
            value = field.default
        case QuantityShape():
            value = NOT_READ
        case TextShape():
            value = ""
        case ListShape():
            value = ()
        case RecordShape(cls):
            value = _read_object(cls, {}, "", [])
    return value

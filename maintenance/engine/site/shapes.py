"""The shapes of the value types: what their annotations say about a record.

Reader, writer and JSON Schema all follow these shapes, so that a field is added
in one place. Looking at annotations is slow, therefore it is done once a type.
"""

import dataclasses
import types
import typing
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any, Final, Literal

from maintenance.engine.site.measures import Measure
from maintenance.engine.units import Quantity

TEXT_LIMIT: Final = 500
ID_LIMIT: Final = 100
NOTE_LIMIT: Final = 5000
PLAIN_NUMBER_LIMIT: Final = 1e7
LIST_LIMITS: Final = {
    "points": 20_000,
    "links": 20_000,
    "zones": 1000,
    "controllers": 200,
    "notes": 500,
}
SHORT_LIST: Final = 100
_SHORT: Final = frozenset(
    {"id", "from_", "to", "zone", "valve", "also_feeds"}
    | {"pipe", "size", "material", "time_zone"}
)
_FREE_TEXT: Final = frozenset({"note", "notes"})


@dataclass(frozen=True, slots=True)
class QuantityShape:
    """A number with a unit."""

    measure: Measure


@dataclass(frozen=True, slots=True)
class NumberShape:
    """A plain number between two bounds, both included."""

    whole: bool
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class TextShape:
    """A text of at most ``limit`` characters; ``one_line`` where it is a name."""

    limit: int
    one_line: bool


@dataclass(frozen=True, slots=True)
class FlagShape:
    """True or false."""


@dataclass(frozen=True, slots=True)
class ChoiceShape:
    """One of a few words."""

    choices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ListShape:
    """Any number of items up to ``limit``."""

    item: "Shape"
    limit: int


@dataclass(frozen=True, slots=True)
class PairShape:
    """Two plain numbers."""

    item: NumberShape


@dataclass(frozen=True, slots=True)
class RecordShape:
    """An object with the keys of one value type."""

    cls: type


@dataclass(frozen=True, slots=True)
class KindsShape:
    """An object whose ``kind`` says which value type it is."""

    classes: tuple[type, ...]
    kinds: tuple[tuple[str, type], ...]


Shape = (
    QuantityShape
    | NumberShape
    | TextShape
    | FlagShape
    | ChoiceShape
    | ListShape
    | PairShape
    | RecordShape
    | KindsShape
)


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a value type.

    ``nullable`` is true where None means not known; ``default`` is what stands
    when the key is left out, and `dataclasses.MISSING` where it must be there.
    """

    name: str
    key: str
    shape: Shape
    nullable: bool
    default: Any

    @property
    def required(self) -> bool:
        """Whether the record must have the key."""
        # A part's kind and the file's format are constants of the type, and yet
        # no record is read without them.
        return self.default is dataclasses.MISSING or self.name in ("kind", "format")


def fields_of(cls: type) -> tuple[Field, ...]:
    """Return the keys of a value type in the order in which they are written.

    Parameters
    ----------
    cls : type
        A dataclass of `maintenance.engine.site`. [-]

    Returns
    -------
    tuple of Field
        One for each field. [-]
    """
    return _fields_of(cls)


@cache
def _fields_of(cls: type) -> tuple[Field, ...]:
    hints = typing.get_type_hints(cls, include_extras=True)
    return tuple(
        Field(
            field.name,
            field.name.removesuffix("_"),
            *_shape_of(hints[field.name], field.name),
            field.default,
        )
        for field in dataclasses.fields(cls)
    )


def keys_of(cls: type) -> frozenset[str]:
    """Return the keys that a record of a value type may have.

    Parameters
    ----------
    cls : type
        A dataclass of `maintenance.engine.site`. [-]

    Returns
    -------
    frozenset of str
        Keys as in a file. [-]
    """
    return _keys_of(cls)


@cache
def _keys_of(cls: type) -> frozenset[str]:
    return frozenset(field.key for field in fields_of(cls))


def _shape_of(hint: object, name: str) -> tuple[Shape, bool]:
    """Return the shape of an annotation and whether it allows None."""
    extra: object = None
    nullable = False
    while True:
        origin = typing.get_origin(hint)
        arguments = typing.get_args(hint)
        if origin is Annotated:
            hint, extra = arguments[0], arguments[1]
        elif origin in (types.UnionType, typing.Union) and type(None) in arguments:
            nullable = True
            left = tuple(each for each in arguments if each is not type(None))
            hint = left[0] if len(left) == 1 else typing.Union[left]  # noqa: UP007
        else:
            break
    return _plain_shape(hint, name, extra), nullable


def _plain_shape(hint: object, name: str, extra: object) -> Shape:
    origin = typing.get_origin(hint)
    arguments = typing.get_args(hint)
    if origin is Literal:
        return ChoiceShape(arguments)
    if origin is tuple:
        return _sequence_shape(arguments[0], name)
    if origin in (types.UnionType, typing.Union):
        return _kinds_shape(arguments)
    if hint is Quantity and isinstance(extra, Measure):
        return QuantityShape(extra)
    if isinstance(hint, type) and dataclasses.is_dataclass(hint):
        return RecordShape(hint)
    return _scalar_shape(hint, name, extra)


def _sequence_shape(item_hint: object, name: str) -> Shape:
    item = _shape_of(item_hint, name)[0]
    if isinstance(item, NumberShape):
        return PairShape(item)
    return ListShape(item, LIST_LIMITS.get(name, SHORT_LIST))


def _scalar_shape(hint: object, name: str, extra: object) -> Shape:
    if hint is bool:
        return FlagShape()
    if hint is int or hint is float:
        low, high = -PLAIN_NUMBER_LIMIT, PLAIN_NUMBER_LIMIT
        if isinstance(extra, tuple):
            low, high = extra
        return NumberShape(hint is int, low, high)
    if hint is str:
        if name in _SHORT:
            return TextShape(ID_LIMIT, one_line=True)
        limit = NOTE_LIMIT if name in _FREE_TEXT else TEXT_LIMIT
        return TextShape(limit, one_line=name == "name")
    message = f"{name}: the annotation {hint!r} has no shape"
    raise TypeError(message)


def _kinds_shape(classes: tuple[Any, ...]) -> KindsShape:
    kinds: list[tuple[str, type]] = []
    for cls in classes:
        kind = next(field for field in fields_of(cls) if field.name == "kind")
        if isinstance(kind.shape, ChoiceShape):
            kinds.extend((choice, cls) for choice in kind.shape.choices)
    return KindsShape(tuple(classes), tuple(kinds))

"""JSON Schema of the site and compressor files, made from the value types.

The schema says what each key may hold. What lies between parts, such as an end
that is missing, only reading the file finds.
"""

import inspect
import typing
from typing import Any, Final

from maintenance.engine.dimensions import DIMENSIONS
from maintenance.engine.site import Compressor, Head, Pipe, QuickZone, Site, Zone
from maintenance.engine.site.quantities import QUANTITY_LIMIT, READ_ORIGINS
from maintenance.engine.site.requirements import UNKNOWN_PIPES
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
)
from maintenance.engine.units import display

Schema = dict[str, Any]
DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
NUMBER_PATTERN: Final = (
    r"^\s*[+-]?\s*(\d+[-\s](?=\d+/\d))?"
    r"(\d+/\d+|(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?)\s*"
)
UNIT_PATTERN: Final = r"[A-Za-z%].*$"

# What keys ask of each other; the reader's sentences are in `requirements`.
_FLOW_WITH_PRESSURE: Final[Schema] = {
    "dependentRequired": {"flow": ["at_pressure"], "at_pressure": ["flow"]}
}
_TOGETHER: Final[dict[type, Schema]] = {
    Pipe: {
        "anyOf": [
            {"required": ["pipe", "size"]},
            {
                "required": ["pipe"],
                "properties": {"pipe": {"enum": list(UNKNOWN_PIPES)}},
            },
            {
                "required": ["inside_diameter", "material", "rating"],
                "not": {"anyOf": [{"required": ["pipe"]}, {"required": ["size"]}]},
            },
        ]
    },
    Head: {
        **_FLOW_WITH_PRESSURE,
        "not": {"required": ["k", "flow"]},
    },
    QuickZone: _FLOW_WITH_PRESSURE,
    Zone: {"oneOf": [{"required": ["valve"]}, {"required": ["quick"]}]},
    Site: {
        "oneOf": [{"required": ["points", "links"]}, {"required": ["card"]}],
    },
}


def site_schema() -> Schema:
    """Return the schema of a site file.

    Returns
    -------
    dict
        JSON Schema, draft 2020-12. [-]
    """
    return _document(Site, "irrigation-site/1")


def compressor_schema() -> Schema:
    """Return the schema of a compressor file.

    Returns
    -------
    dict
        JSON Schema, draft 2020-12. [-]
    """
    return _document(Compressor, "compressor/1")


def _document(cls: type, title: str) -> Schema:
    definitions: dict[str, Schema] = {}
    top = _object(cls, definitions)
    return {"$schema": DIALECT, "title": title, **top, "$defs": definitions}


def _object(cls: type, definitions: dict[str, Schema]) -> Schema:
    fields = fields_of(cls)
    return {
        "type": "object",
        "description": inspect.cleandoc(cls.__doc__ or "").replace("`", ""),
        "properties": {field.key: _property(field, definitions) for field in fields},
        "required": [field.key for field in fields if field.required],
        "additionalProperties": False,
        **_TOGETHER.get(cls, {}),
    }


def _property(field: Field, definitions: dict[str, Schema]) -> Schema:
    schema = _schema(field.shape, definitions)
    if not field.nullable:
        return schema
    # Null and a key left out both say: not known. Keys that ask for others do not
    # see the difference, so a file that is checked by schema leaves them out.
    return {"anyOf": [schema, {"type": "null"}]}


def _schema(shape: Shape, definitions: dict[str, Schema]) -> Schema:
    match shape:
        case QuantityShape():
            return _quantity(shape, definitions)
        case RecordShape(cls):
            return _reference(cls, definitions)
        case KindsShape(classes):
            return {"oneOf": [_reference(cls, definitions) for cls in classes]}
        case ListShape(item, limit):
            items = _schema(item, definitions)
            return {"type": "array", "items": items, "maxItems": limit}
    return _scalar(shape)


def _scalar(
    shape: NumberShape | TextShape | FlagShape | ChoiceShape | PairShape,
) -> Schema:
    match shape:
        case NumberShape(whole, low, high):
            kind = "integer" if whole else "number"
            return {"type": kind, "minimum": low, "maximum": high}
        case TextShape(limit):
            return {"type": "string", "maxLength": limit, "pattern": r"\S"}
        case FlagShape():
            return {"type": "boolean"}
        case ChoiceShape(choices):
            return {"enum": list(choices)}
        case PairShape(item):
            pair = [_scalar(item), _scalar(item)]
            return {"type": "array", "prefixItems": pair, "minItems": 2, "items": False}
    typing.assert_never(shape)


def _reference(cls: type, definitions: dict[str, Schema]) -> Schema:
    if cls.__name__ not in definitions:
        definitions[cls.__name__] = {}
        definitions[cls.__name__] = _object(cls, definitions)
    return {"$ref": f"#/$defs/{cls.__name__}"}


def _quantity(shape: QuantityShape, definitions: dict[str, Schema]) -> Schema:
    """Return a text with a unit, or an object that says where the value is from."""
    measure = shape.measure
    dimension = DIMENSIONS[measure.dimension]
    name = f"quantity_{measure.dimension}"
    if name not in definitions:
        text = {
            "type": "string",
            "maxLength": QUANTITY_LIMIT,
            "pattern": NUMBER_PATTERN + (UNIT_PATTERN if dimension.unit else ""),
            "examples": [dimension.example],
        }
        definitions[name] = {
            "oneOf": [
                text,
                {
                    "type": "object",
                    "properties": {
                        "value": text,
                        "origin": {"enum": list(READ_ORIGINS)},
                    },
                    "required": ["value", "origin"],
                    "additionalProperties": False,
                },
            ]
        }
    words = [f'A {measure.dimension.replace("_", " ")}, like "{dimension.example}"']
    if measure.low is not None:
        low = display(measure.low, measure.dimension)
        words.append(f"more than {low}" if measure.above else f"at least {low}")
    if measure.high is not None:
        words.append(f"at most {display(measure.high, measure.dimension)}")
    return {"$ref": f"#/$defs/{name}", "description": ", ".join(words)}

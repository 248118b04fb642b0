"""The parts of a site as tables: the unit once in the head, origins beside values."""

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from maintenance.engine.dimensions import DIMENSIONS
from maintenance.engine.site import Place, Site
from maintenance.engine.site.answers import UNSEEN
from maintenance.engine.site.changes import SECTIONS, Part, Section, parts_of
from maintenance.engine.site.shapes import (
    ChoiceShape,
    Field,
    NumberShape,
    QuantityShape,
    fields_of,
)
from maintenance.engine.units import Quantity, UnitSystem, round_text, to_unit
from maintenance.templatetags.paper import unit_of
from maintenance.web.forms.wording import KINDS, LABELS, in_words

_NOT_IN_TABLES = frozenset({"id", "kind", "note", "name", "quick"})


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its name, its unit, and whether it holds numbers."""

    name: str
    unit: str
    number: bool


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell; ``origin`` where the value was not simply stated."""

    text: str
    number: bool
    origin: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """One part."""

    part_id: str
    cells: tuple[Cell, ...]
    note: str


@dataclass(frozen=True, slots=True)
class PartTable:
    """All parts of one kind."""

    section: Section
    kind: str
    name: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    notes: bool


def part_tables(site: Site, system: UnitSystem) -> list[PartTable]:
    """Return points, links and controllers by kind; zones have a table of their own."""
    tables: list[PartTable] = []
    for section in SECTIONS:
        if section == "zones":
            continue
        kinds: dict[str, list[Part]] = {}
        for part in parts_of(site, section):
            kinds.setdefault(getattr(part, "kind", ""), []).append(part)
        tables += [
            _table(section, kind, parts, system) for kind, parts in kinds.items()
        ]
    return tables


def _table(
    section: Section, kind: str, parts: list[Part], system: UnitSystem
) -> PartTable:
    told = [
        field
        for field in fields_of(type(parts[0]))
        if field.key not in _NOT_IN_TABLES
        and any(getattr(part, field.name) is not None for part in parts)
    ]
    return PartTable(
        section=section,
        kind=kind,
        name=KINDS.get(kind, "controller"),
        columns=tuple(_column(field, system) for field in told),
        rows=tuple(
            Row(
                part.id,
                tuple(cell_of(getattr(part, f.name), f, system) for f in told),
                getattr(part, "note", None) or "",
            )
            for part in parts
        ),
        notes=any(getattr(part, "note", None) for part in parts),
    )


def _column(field: Field, system: UnitSystem) -> Column:
    name = LABELS[field.key][0]
    if isinstance(field.shape, QuantityShape):
        return Column(name, unit_of(field.shape.measure.dimension, system), True)
    return Column(name, "", isinstance(field.shape, NumberShape))


def cell_of(value: object, field: Field, system: UnitSystem) -> Cell:
    """Return a value as it stands in a table; empty where it is not known."""
    if value is None:
        return Cell("", isinstance(field.shape, QuantityShape | NumberShape))
    if isinstance(value, Quantity) and isinstance(field.shape, QuantityShape):
        dimension = field.shape.measure.dimension
        digits = DIMENSIONS[dimension].digits[0 if system == "us" else 1]
        number, _unit = to_unit(value.value, dimension, system)
        origin = "" if value.origin == "stated" else value.origin
        return Cell(round_text(number, digits), True, origin)
    if isinstance(field.shape, ChoiceShape):
        return Cell(in_words(str(value)), False)
    return Cell(_in_words(value), isinstance(field.shape, NumberShape))


def _in_words(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(_in_words(each) for each in value)
    if is_dataclass(value):
        told = [(f.name, getattr(value, f.name)) for f in fields(value)]
        return ", ".join(
            f"{in_words(n)} {_in_words(v)}" for n, v in told if v is not None
        )
    if isinstance(value, float):
        return f"{value:g}"
    return in_words(str(value)) if value is not None else ""


@dataclass(frozen=True, slots=True)
class Unknown:
    """Something about the site that nobody has looked at yet."""

    section: str
    part_id: str
    text: str


def not_known_yet(site: Site) -> list[Unknown]:
    """Return what rests on a guess, so that a person can go and look."""
    found = [Unknown("place", "", text) for text in _guesses(site.place)]
    if site.place.time_zone == "UTC":
        found.append(Unknown("place", "", "time zone, taken as UTC"))
    for section in SECTIONS:
        for part in parts_of(site, section):
            found += [Unknown(section, part.id, text) for text in _guesses(part)]
    return found


def _guesses(part: Place | Part | Any) -> Iterator[str]:
    for field in fields_of(type(part)):
        value = getattr(part, field.name)
        if isinstance(value, Quantity) and value.origin in ("guessed", "assumed"):
            yield f"{LABELS[field.key][0].lower()}, taken as {value.text}"
        elif field.key in ("pipe", "riser") and str(value).startswith("unknown"):
            yield f"{LABELS[field.key][0].lower()}: {value}"
        elif field.key == "note" and str(value).startswith(UNSEEN):
            yield str(value).removeprefix(UNSEEN).rstrip(".")
        elif is_dataclass(value) and not isinstance(value, Quantity):
            yield from _guesses(value)


@dataclass(frozen=True, slots=True)
class ZoneRow:
    """A zone in the list of a site's page."""

    zone_id: str
    name: str
    runs: str
    box: str


def zone_rows(site: Site) -> list[ZoneRow]:
    """Return the zones with what is known of each in a few words."""
    return [
        ZoneRow(
            zone.id,
            zone.name or "",
            _run(zone.quick) if zone.quick else f"valve {zone.valve}",
            zone.box or "",
        )
        for zone in site.zones
    ]


def _run(quick: Any) -> str:
    heads = in_words(quick.head)
    heads = heads if heads.endswith("s") else f"{heads} heads"
    return (
        f"{quick.heads} {heads} on {quick.length.text} of {quick.size} in {quick.pipe}"
    )

"""The JSON Schema is made from the same types and agrees with the reader."""

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from maintenance.engine.site import Site
from maintenance.engine.site.record import Faults, from_record
from maintenance.exchange.schema import compressor_schema, site_schema
from tests.exchange.rich_site import card_record, rich_record

EXAMPLES = Path(__file__).parents[2] / "fixtures" / "examples"


def _example(name: str) -> Any:
    return json.loads((EXAMPLES / name).read_text("utf-8"))


@pytest.mark.parametrize("schema", [site_schema(), compressor_schema()])
def test_schema_is_a_schema(schema: dict[str, Any]) -> None:
    Draft202012Validator.check_schema(schema)
    assert json.loads(json.dumps(schema)) == schema


@pytest.mark.parametrize(
    "record",
    [
        _example("site-a.json"),
        _example("example-lateral.json"),
        rich_record(),
        card_record(),
    ],
    ids=["site-a", "example-lateral", "rich", "card"],
)
def test_sites_validate(record: Any) -> None:
    Draft202012Validator(site_schema()).validate(record)


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("compressor-*.json")), ids=str)
def test_compressors_validate(path: Path) -> None:
    Draft202012Validator(compressor_schema()).validate(_example(path.name))


@pytest.mark.parametrize(
    ("way", "value"),
    [
        (("format",), "irrigation-site/2"),
        (("surprise",), 1),
        (("points", 0, "elevation"), 3),
        (("points", 0, "elevation"), "3"),
        (("points", 0, "elevation"), "high"),
        (("points", 0, "elevation"), {"value": "3 ft"}),
        (("points", 0, "kind"), "well"),
        (("points", 0, "source"), "river"),
        (("points", 0, "position"), [1]),
        (("points", 23, "at_pressure"), None),
        (("links", 0, "placement"), "under"),
        (("links", 0, "length"), ["1 ft"]),
        (("links", 20, "station"), 1.5),
        (("links", 20, "anti_siphon"), "no"),
        (("zones", 0, "quick"), {}),
        (("zones", 0, "near"), "path"),
        (("place", "latitude"), 91),
        (("controllers", 0, "sensors"), ["wind"]),
    ],
)
def test_schema_and_reader_refuse_the_same(way: tuple[Any, ...], value: Any) -> None:
    record: Any = rich_record()
    inside = record
    for key in way[:-1]:
        inside = inside[key]
    if value is None:
        del inside[way[-1]]
    else:
        inside[way[-1]] = value
    assert not Draft202012Validator(site_schema()).is_valid(record)
    with pytest.raises(Faults):
        from_record(Site, record)


def test_every_type_of_part_is_described() -> None:
    definitions = site_schema()["$defs"]
    parts = {name: each for name, each in definitions.items() if name[0].isupper()}
    assert {"Pipe", "Head", "Backflow", "QuickZone", "Card"} <= set(parts)
    assert all(each["description"] for each in parts.values())

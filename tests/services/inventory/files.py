"""Sites of the tests, made as a person would: by editing a file."""

import copy
import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from maintenance.engine.site import Compressor, Site
from maintenance.exchange.compressor_file import read_compressor
from maintenance.exchange.site_file import read_site

EXAMPLES = Path(__file__).resolve().parents[3] / "fixtures" / "examples"
SPRING = datetime(2026, 4, 1, 8, 0, tzinfo=UTC)
SUMMER = datetime(2026, 7, 1, 8, 0, tzinfo=UTC)
AUTUMN = datetime(2026, 10, 1, 8, 0, tzinfo=UTC)

File = dict[str, Any]


def example(name: str) -> File:
    file: File = json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return file


def read(file: File) -> Site:
    return read_site(json.dumps(file))


def read_machine(file: File) -> Compressor:
    return read_compressor(json.dumps(file))


def edited(file: File, edit: Callable[[File], object]) -> File:
    changed = copy.deepcopy(file)
    edit(changed)
    return changed


def part(file: File, kind: str, key: str) -> File:
    """Return the part of a file, to be changed in place."""
    found: File = next(item for item in file[kind] if item["id"] == key)
    return found


def rich_file() -> File:
    """Return a small site with one of everything whose order or text may be lost."""
    file = example("example-lateral")
    file["air_limit"] = "50 psi"
    file["place"] |= {
        "latitude": 44.25,
        "longitude": -110.5,
        "autumn_air_temperature": "45 degF",
    }
    part(file, "links", "B1").update(serial="A-100", installed="2019-05-02")
    pipe = part(file, "links", "R1")
    pipe["length"] = {"value": "26-1/4 ft", "origin": "measured"}
    pipe["note"] = "Ĝarden — “quoted”\n\\ and a tab\t."
    part(file, "points", "H1").update(position=[-0.0, 12.5])
    part(file, "points", "H2").update(position=[1e-7, 3])
    file["points"].append({"id": "J9", "kind": "junction", "elevation": "-1 ft"})
    file["links"].append(
        {
            "id": "P9",
            "kind": "pipe",
            "from": "M1",
            "to": "J9",
            "pipe": "unknown plastic",
            "size": "1",
            "length": "40 ft",
        }
    )
    file["zones"].append(
        {
            "id": "4",
            "name": "Quick",
            "quick": {
                "pipe": "PE SIDR-15",
                "size": "1",
                "length": "180 ft",
                "heads": 7,
                "head": "spray",
                "flow": "1.5 gpm",
                "at_pressure": "30 psi",
                "from": "J9",
                "fall": "2 ft",
                "depth": "10 in",
            },
        }
    )
    file["controllers"] = [
        {"id": "K2", "stations": 4, "sensors": ["rain", "freeze"]},
        {"id": "K1", "where": "mechanical room"},
    ]
    file["notes"] = ["The shut-off in the cellar weeps.", "Second note."]
    return file


def card_file() -> File:
    return {
        "format": "irrigation-site/1",
        "id": "card",
        "name": "One card",
        "place": {"elevation": "1900 m", "time_zone": "America/Denver"},
        "card": {"zones": 9, "pipe": "unknown plastic", "size": "1"},
    }


def large_file(heads: int = 120) -> File:
    """Return a site of one zone with a long row of heads: about twice as many parts."""
    file = example("example-lateral")
    last = "H6"
    for number in range(7, heads + 1):
        key = f"H{number}"
        file["points"].append(part(file, "points", "H6") | {"id": key})
        file["links"].append(
            part(file, "links", "R6") | {"id": f"R{number}", "from": last, "to": key}
        )
        last = key
    return file

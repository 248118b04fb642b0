"""The demonstration site, once as it is and once with every zone twice."""

import json
from functools import cache
from pathlib import Path
from typing import Any

from maintenance.engine.site import Compressor, Site
from maintenance.exchange.compressor_file import read_compressor
from maintenance.exchange.site_file import read_site

DEMO = Path(__file__).parents[2] / "fixtures" / "demo"
Record = dict[str, Any]


@cache
def larkmoor() -> Site:
    return read_site((DEMO / "larkmoor.json").read_bytes())


@cache
def yard_compressor() -> Compressor:
    return read_compressor((DEMO / "compressors" / "yard-25.json").read_bytes())


@cache
def twice_larkmoor() -> Site:
    """Larkmoor with a second copy of every zone at the same branch of the main."""
    record = json.loads((DEMO / "larkmoor.json").read_text("utf-8"))
    valves = {x["id"]: x for x in record["links"] if x["kind"] == "zone_valve"}
    copies: dict[str, list[Record]] = {"points": [], "links": [], "zones": []}
    for zone in record["zones"]:
        copy = {**zone, "id": f"{zone['id']}-b"}
        if "valve" in zone:
            valve = valves[zone["valve"]]
            inside = _downstream(record["links"], valve)
            copies["points"] += [
                {**p, "id": f"{p['id']}-b"}
                for p in record["points"]
                if p["id"] in inside
            ]
            copies["links"] += [
                _copied(x, inside, copy["id"])
                for x in record["links"]
                if x is valve or (x["kind"] != "zone_valve" and x["from"] in inside)
            ]
            copy["valve"] = f"{zone['valve']}-b"
        copies["zones"].append(copy)
    for key, added in copies.items():
        record[key] = [*record[key], *added]
    record["id"] = "larkmoor-twice"
    return read_site(json.dumps(record))


def _downstream(links: list[Record], valve: Record) -> set[str]:
    inside = {valve["to"]}
    grown = True
    while grown:
        grown = False
        for one in links:
            ends = {one["from"], one["to"]}
            if one["kind"] != "zone_valve" and ends & inside and not ends <= inside:
                inside |= ends
                grown = True
    return inside


def _copied(link: Record, inside: set[str], zone: str) -> Record:
    copy = {**link, "id": f"{link['id']}-b"}
    for end in ("from", "to"):
        if link[end] in inside:
            copy[end] = f"{link[end]}-b"
    if link["kind"] == "zone_valve":
        copy["zone"] = zone
        copy.pop("station", None)
    return copy

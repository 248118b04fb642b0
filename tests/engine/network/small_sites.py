"""Small sites written as site files, for tests that need one rule at a time."""

import json
from collections.abc import Sequence
from typing import Any

from maintenance.engine.site import Compressor, Site
from maintenance.exchange.compressor_file import read_compressor
from maintenance.exchange.site_file import read_site

PSI = 6894.757293168361
FREE_CFM = 0.3048**3 / 60.0
Record = dict[str, Any]


def point(id_: str, kind: str = "junction", z_m: float = 0.0, **keys: Any) -> Record:
    return {"id": id_, "kind": kind, "elevation": f"{z_m} m", **keys}


def head(id_: str, z_m: float = 0.0, **keys: Any) -> Record:
    """Return a spray of 2 gpm at 30 psi on a described riser; None drops a key."""
    own = {
        "head": "spray",
        "nozzle_height": "0.15 m",
        "flow": "2 gpm",
        "at_pressure": "30 psi",
        "riser": "PVC Sch 40",
        **keys,
    }
    return point(
        id_, "head", z_m, **{k: value for k, value in own.items() if value is not None}
    )


def link(id_: str, kind: str, from_: str, to: str, **keys: Any) -> Record:
    return {"id": id_, "kind": kind, "from": from_, "to": to, **keys}


def pipe(id_: str, from_: str, to: str, length_m: float = 10.0, **keys: Any) -> Record:
    """Return a buried 1 in PVC Sch 40 pipe; None drops a key."""
    own = {"pipe": "PVC Sch 40", "size": "1", "placement": "buried", **keys}
    kept = {key: value for key, value in own.items() if value is not None}
    return link(id_, "pipe", from_, to, **kept, length=f"{length_m} m")


def zone_valve(zone: str, from_: str, to: str, **keys: Any) -> Record:
    return link(f"V{zone}", "zone_valve", from_, to, **{"zone": zone, "cv": 20, **keys})


def site_record(
    points: Sequence[Record],
    links: Sequence[Record],
    zones: Sequence[str] = (),
    **keys: Any,
) -> Record:
    place = {"elevation": "0 m", "time_zone": "America/Denver", **keys.pop("place", {})}
    return {
        "format": "irrigation-site/1",
        "id": "small",
        "name": "Small site",
        "place": place,
        **keys,
        "points": list(points),
        "links": list(links),
        "zones": [{"id": z, "name": f"Zone {z}", "valve": f"V{z}"} for z in zones],
    }


def site_of(record: Record) -> Site:
    """Read a record as the site file would be read, with every check."""
    return read_site(json.dumps(record))


def lateral(
    zone: str,
    start: str,
    falls_m: Sequence[float] = (0.0, 0.0, 0.0),
    *,
    step_m: float = 8.0,
    z_m: float = 0.0,
    **keys: Any,
) -> tuple[list[Record], list[Record]]:
    """Return a zone's points and links: a valve, then a head after every pipe.

    ``falls_m`` says how much lower each head lies than the one before; ``keys``
    with ``head_`` in front go to the heads, ``valve_`` to the valve, else to pipes.
    """
    own: dict[str, Record] = {"head": {}, "valve": {}, "pipe": {}}
    for key, value in keys.items():
        first, _, rest = key.partition("_")
        kind, name = (first, rest) if first in ("head", "valve") else ("pipe", key)
        own[kind][name] = value
    points = [point(f"L{zone}", z_m=z_m)]
    links = [zone_valve(zone, start, f"L{zone}", **own["valve"])]
    before, height = f"L{zone}", z_m
    for number, fall in enumerate(falls_m, start=1):
        height = round(height - fall, 6)
        end = f"H{zone}.{number}"
        points.append(head(end, height, **own["head"]))
        links.append(pipe(f"P{zone}.{number}", before, end, step_m, **own["pipe"]))
        before = end
    return points, links


def main_line(
    count: int = 1, *, port_z_m: float = 0.0, step_m: float = 12.0, **keys: Any
) -> tuple[list[Record], list[Record]]:
    """Return a supply, a port and a main with ``count`` branch points J1, J2 ..."""
    points = [
        point("SUP", "supply", 0.0, source="public"),
        point("AIR", "blowout_port", port_z_m),
    ]
    links = [link("B1", "backflow", "SUP", "AIR", device="PVB", size="1")]
    before = "AIR"
    for number in range(1, count + 1):
        points.append(point(f"J{number}"))
        links.append(pipe(f"M{number}", before, f"J{number}", step_m, **keys))
        before = f"J{number}"
    return points, links


def joined(
    *parts: tuple[list[Record], list[Record]],
) -> tuple[list[Record], list[Record]]:
    return (
        [one for points, _ in parts for one in points],
        [one for _, links in parts for one in links],
    )


def one_zone(**keys: Any) -> Record:
    """Return a whole site of one zone; ``keys`` as for `lateral`."""
    return site_record(*joined(main_line(), lateral("1", "J1", **keys)), ["1"])


def machine_record(
    cfm: float = 25.0, gallons: float = 30.0, step_psi: float = 5.0, **keys: Any
) -> Record:
    return {
        "format": "compressor/1",
        "id": "test-air",
        "free_air_delivery": f"{cfm} cfm",
        "receiver": f"{gallons} gal",
        "cut_in": "90 psi",
        "cut_out": "110 psi",
        "start_pressure": "100 psi",
        "regulator": {
            "fitted": True,
            "gauge_at": "connection",
            "step": f"{step_psi} psi",
        },
        "hose": {"inside_diameter": "19.1 mm", "length": "15 m"},
        "discharge_temperature": "120 degF",
        **keys,
    }


def compressor_of(record: Record | None = None) -> Compressor:
    kept = {k: v for k, v in (record or machine_record()).items() if v is not None}
    return read_compressor(json.dumps(kept))

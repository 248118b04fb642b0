"""A garden of one zone, and what it draws, for tests of the flow of a running zone."""

from typing import Any

from maintenance.engine.network.graph import build_graph
from maintenance.engine.network.zone_flow import ZoneFlow, zone_flow
from tests.engine.network.small_sites import (
    Record,
    joined,
    lateral,
    pipe,
    point,
    site_of,
    site_record,
)

GPM = 3.785411784e-3 / 60
CLOSED = {"summer": "closed"}
Parts = tuple[list[Record], list[Record]]


def source(id_: str = "S", psi: float | None = 60.0, **keys: Any) -> Record:
    own = {"source": "public", "flow": "100 gpm", **keys}
    if psi is not None:
        own["static_pressure"] = f"{psi} psi"
    kept = {key: value for key, value in own.items() if value is not None}
    return {**point(id_, "supply"), **kept}


def garden(*extra: Parts, supply: Record | None = None, **keys: Any) -> Record:
    """Return a source, 12 m of main to J, and a zone of three heads behind V1."""
    main: Parts = ([supply or source(), point("J")], [pipe("M", "S", "J", 12.0)])
    return site_record(*joined(main, lateral("1", "J", **keys), *extra), ["1"])


def through(*links: Record, points: tuple[str, ...] = ("K",)) -> Record:
    """Return the same garden with parts between the main's end J and the zone at Z."""
    main: Parts = ([source(), point("J")], [pipe("M", "S", "J", 12.0)])
    between: Parts = ([point(name) for name in (*points, "Z")], list(links))
    return site_record(*joined(main, between, lateral("1", "Z")), ["1"])


def flow_of(record: Record, **keys: str) -> ZoneFlow:
    return zone_flow(build_graph(site_of(record)), "V1", **keys)


def gpm(record: Record) -> float:
    found = flow_of(record)
    assert found.flow_m3_per_s is not None, found.missing
    return found.flow_m3_per_s / GPM


def codes(found: ZoneFlow) -> list[str]:
    assert found.flow_m3_per_s is None
    assert found.limited_by == "unknown"
    assert not found.head_pressure_pa
    assert not found.velocity_m_per_s
    assert all(each.text.endswith(".") for each in found.missing)
    return [each.code for each in found.missing]


def changed(record: Record, id_: str, **keys: Any) -> Record:
    """Return the record with keys of one part changed; None drops a key."""
    found = {
        rank: [
            {k: v for k, v in {**part, **keys}.items() if v is not None}
            if part["id"] == id_
            else part
            for part in record[rank]
        ]
        for rank in ("points", "links")
    }
    return {**record, **found}

"""Town water and a well on one irrigation main, as the cross-connection rules put it.

PUB - Vp - assembly - J - Vw - check valve - WELL, and J - irrigation main, which is
site A (fixtures/examples/site-a.json) without its own supply.
"""

import json
from pathlib import Path
from typing import Any

from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.piping import Piping, lay_piping
from maintenance.engine.procedure.positions import summer_positions
from maintenance.engine.site import Site
from maintenance.exchange.site_file import read_site

SITE_A = Path(__file__).parents[2] / "fixtures" / "examples" / "site-a.json"
Record = dict[str, Any]


def two_sources(
    device: str | None,
    *,
    rule: str = "rp_or_airgap",
    assembly_at: str = "108 ft",
    well_in_summer: str = "open",
) -> Site:
    """Return site A, highest at M1 (100.0 ft), with both sources."""
    record: Record = json.loads(SITE_A.read_text(encoding="utf-8"))
    record["cross_connection_rule"] = rule
    record["links"] = [each for each in record["links"] if each["id"] != "V0"]
    record["points"] = [each for each in record["points"] if each["id"] != "SUP"]
    record["points"] += [
        _point("PUB", "supply", "95 ft", source="public"),
        _point("X1", "junction", assembly_at),
        _point("J", "junction", assembly_at),
        _point("WELL", "supply", "80 ft", source="well"),
        _point("X2", "junction", "95 ft"),
        _point("X3", "junction", "95 ft"),
    ]
    record["links"] += [
        _link("Vp", "isolation_valve", "PUB", "X1", summer="open", winter="closed"),
        _link("PU", "pump", "WELL", "X2"),
        _link("CW", "check_valve", "X2", "X3"),
        _link(
            "Vw", "isolation_valve", "X3", "M1", summer=well_in_summer, winter="closed"
        ),
        _link("FJ", "fitting", "J", "M1"),
    ]
    if device is None:
        record["links"].append(_link("BF", "fitting", "X1", "J"))
    else:
        record["links"].append(_link("BF", "backflow", "X1", "J", device=device))
    return read_site(json.dumps(record))


def laid(site: Site) -> Piping:
    return lay_piping(build_graph(site))


def standing(site: Site, **moved: str) -> dict[str, str]:
    """Return summer positions with some valves moved."""
    return {**summer_positions(build_graph(site)), **moved}


def _point(id_: str, kind: str, elevation: str, **keys: Any) -> Record:
    return {"id": id_, "kind": kind, "elevation": elevation, **keys}


def _link(id_: str, kind: str, from_: str, to: str, **keys: Any) -> Record:
    return {"id": id_, "kind": kind, "from": from_, "to": to, **keys}

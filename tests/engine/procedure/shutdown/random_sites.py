"""Random small sites: one or two sources, loops, checks, houses, zones and drains."""

from typing import Any

from hypothesis import strategies as st

from maintenance.engine.site import Site
from tests.engine.network.small_sites import (
    Record,
    joined,
    lateral,
    link,
    pipe,
    point,
    site_of,
    site_record,
)

Part = tuple[list[Record], list[Record]]
WINTERS = st.sampled_from([None, "closed", "half_open", "open"])
HALF = {"summer": "open", "winter": "half_open"}


def _known(**keys: Any) -> Record:
    return {key: value for key, value in keys.items() if value is not None}


@st.composite
def town_sides(draw: st.DrawFn) -> Part:
    """Draw what lies between the first source and the main at J1."""
    source = draw(st.sampled_from(["public", "public", "well", "surface", "tank"]))
    supply = point("SRC", "supply", 0.0, source=source)
    if source == "surface" and draw(st.booleans()):
        supply["static_pressure"] = "30 psi"
    points, links = (
        [supply, point("K0"), point("K1", z_m=-1.0)],
        [pipe("PK0", "SRC", "K0")],
    )
    kind = draw(st.sampled_from(["ball", "stop_and_waste", None]))
    house = kind is not None and draw(st.booleans())
    if kind is None:
        links.append(pipe("PK1", "K0", "K1"))
    else:
        # A house keeps its water only where a valve may be shut behind it.
        winters = st.sampled_from([None, "closed"]) if house else WINTERS
        keys = _known(type=kind, summer="open", winter=draw(winters))
        links.append(link("VS", "isolation_valve", "K0", "K1", **keys))
    if house:
        points.append(point("HOUSE", "other_use", 1.0, what="house"))
        links.append(pipe("PH", "K0", "HOUSE"))
    if draw(st.booleans()):
        points.append(point("D0", "drain", -1.5, drain="manual"))
        links.append(pipe("PD0", "K1", "D0"))
    points += [point("K2", z_m=0.5), point("AIR", "blowout_port", 0.5), point("J1")]
    device = draw(st.sampled_from(["RP", "RP", "DC", "PVB", "SVB", "AVB", None]))
    if device is None:
        links += [pipe("PK2", "K1", "K2"), pipe("PK3", "K2", "AIR")]
    else:
        own: Record = {"device": device, "size": "1"}
        if device != "AVB" and draw(st.booleans()):
            own |= {"shutoff_1": HALF, "shutoff_2": HALF}
            own["test_cocks"] = {"count": 4, "winter": draw(WINTERS) or "open"}
        links += [pipe("PK2", "K1", "K2"), link("B1", "backflow", "K2", "AIR", **own)]
    links.append(pipe("PM", "AIR", "J1"))
    return points, links


@st.composite
def well_sides(draw: st.DrawFn) -> Part:
    """Draw a second source that joins the main at J1, or nothing."""
    if not draw(st.booleans()):
        return [], []
    points = [point("WELL", "supply", -5.0, source="well"), point("W1"), point("W2")]
    pump: Record = {"control": draw(st.sampled_from(["pressure_switch", "hand"]))}
    if pump["control"] != "hand" and draw(st.booleans()):
        points.append(point("BARN", "other_use", 1.0, what="barn"))
        pump["also_feeds"] = ["BARN"]
    keys = {"summer": draw(st.sampled_from(["open", "closed"])), "winter": "closed"}
    links = [
        link("PU", "pump", "WELL", "W1", **pump),
        link("C1", "check_valve", "W1", "W2"),
        link("VW", "isolation_valve", "W2", "J1", type="ball", **keys),
    ]
    if draw(st.integers(0, 3)):
        points.append(point("DW", "drain", -1.0, drain="manual"))
        links.append(pipe("PDW", "W1", "DW"))
    if "also_feeds" in pump:
        links.append(pipe("PB", "W1", "BARN"))
    return points, links


@st.composite
def mains(draw: st.DrawFn, count: int) -> Part:
    """Draw a main from J1 on, with what hangs on it, perhaps closed to a ring."""
    points: list[Record] = []
    links: list[Record] = []
    for number in range(2, count + 1):
        height = draw(st.sampled_from([-2.0, -0.5, 0.0, 1.0]))
        points.append(point(f"J{number}", z_m=height))
        before, here = f"J{number - 1}", f"J{number}"
        between = draw(st.sampled_from(["pipe", "pipe", "valve", "check", "selector"]))
        if between == "valve":
            keys = _known(type="gate", summer="open", winter=draw(WINTERS))
            links.append(link(f"V{here}", "isolation_valve", before, here, **keys))
        elif between == "check":
            links.append(link(f"C{here}", "check_valve", before, here))
        else:
            links.append(pipe(f"M{number}", before, here))
        points_here, links_here = draw(_hangings(here, height))
        points += points_here
        links += links_here
    if count > 2 and draw(st.booleans()):
        if draw(st.booleans()):
            ring = {"type": "gate", "summer": "open", "winter": "closed"}
            points.append(point("RING"))
            links.append(link("VR", "isolation_valve", "J1", "RING", **ring))
            links.append(pipe("MR", "RING", f"J{count}"))
        else:
            links.append(pipe("MR", "J1", f"J{count}"))
    return points, links


@st.composite
def _hangings(draw: st.DrawFn, here: str, height: float) -> Part:
    points, links = [], []
    for kind, name, fall, keys in (
        ("drain", "D", 0.5, {"drain": "manual"}),
        ("quick_coupler", "Q", -1.0, {}),
        ("end", "E", 0.0, {"opening": "1 in"}),
        ("hydrant", "Y", -1.0, {}),
    ):
        if draw(st.integers(0, 2)) == 0:
            id_ = f"{name}{here}"
            points.append(point(id_, kind, height - fall, **keys))
            links.append(pipe(f"P{id_}", here, id_))
    return points, links


@st.composite
def small_sites(draw: st.DrawFn) -> Site:
    """Draw a whole site."""
    count = draw(st.integers(1, 3))
    parts = [draw(town_sides()), draw(well_sides()), draw(mains(count))]
    zones = [str(n) for n in range(1, draw(st.integers(1, 3)) + 1)]
    for zone in zones:
        own = _known(
            valve_opens_by=draw(st.sampled_from([None, "hand", "controller"])),
            valve_anti_siphon=draw(st.sampled_from([None, None, True])),
            head_check_valve=draw(st.sampled_from([None, None, "2 m"])),
        )
        falls = draw(st.sampled_from([(0.0, 0.0), (0.5, 0.5), (-0.5, -0.5)]))
        start = f"J{draw(st.integers(1, count))}"
        parts.append(lateral(zone, start, falls, **own))
        if draw(st.integers(0, 3)) == 0:
            drain = point(f"DZ{zone}", "drain", -1.5, drain="manual")
            parts.append(([drain], [pipe(f"PDZ{zone}", f"H{zone}.2", f"DZ{zone}")]))
    record = site_record(*joined(*parts), zones)
    rule = draw(st.sampled_from([None, "rp_or_airgap", "prohibited"]))
    if rule is not None:
        record["cross_connection_rule"] = rule
    if draw(st.booleans()):
        record["controllers"] = [{"id": "K", "wiring": "common", "sensors": ["rain"]}]
    return site_of(record)

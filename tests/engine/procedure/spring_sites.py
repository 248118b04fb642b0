"""Random small sites, and random ways in which autumn may have left them."""

from hypothesis import strategies as st

from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.elements import site_elements
from maintenance.engine.procedure.startup.autumn import AutumnRecord
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
from tests.engine.procedure.gardens import HALF, valve

Parts = tuple[list[Record], list[Record]]
heights = st.sampled_from([-2.0, -0.5, 0.0, 0.4, 1.0, 3.0])


@st.composite
def town_supplies(draw: st.DrawFn) -> Parts:
    """Town water to J1 past a valve, an assembly or both; a house may come first."""
    points = [point("TOWN", "supply", 0.0, source="public"), point("K0"), point("K1")]
    links = [pipe("PK", "TOWN", "K0", 5.0)]
    if draw(st.booleans()):
        points.append(point("HOUSE", "other_use", 1.0, what="house"))
        links.append(pipe("PH", "K0", "HOUSE", 5.0))
    kind = draw(st.sampled_from(["ball", "gate", "stop_and_waste"]))
    links.append(valve("IN", "K0", "K1", "open", "closed", type=kind))
    device = draw(st.sampled_from(["RP", "DC", "PVB", "AVB"]))
    keys: Record = {"device": device, "size": "1"}
    if device != "AVB":
        keys |= {"shutoff_1": HALF, "shutoff_2": HALF, "test_cocks": {"count": 2}}
    points.append(point("AIR", "blowout_port", 0.3))
    links += [
        link("B1", "backflow", "K1", "AIR", **keys),
        pipe("PM", "AIR", "J1", 12.0),
    ]
    if draw(st.booleans()):
        points.append(point("D0", "drain", -1.0, drain="manual"))
        links.append(pipe("PD0", "K1", "D0", 2.0))
    return points, links


@st.composite
def well_supplies(draw: st.DrawFn) -> Parts:
    """A well to J1, its pump started by hand or by itself, past a valve."""
    control = draw(st.sampled_from(["hand", "pressure_switch", "start_relay"]))
    points = [point("WELL", "supply", -5.0, source="well"), point("K1")]
    links = [
        link("PU", "pump", "WELL", "K1", control=control),
        valve("IN", "K1", "J1", "open", "closed"),
    ]
    return points, links


@st.composite
def mains(draw: st.DrawFn) -> tuple[Parts, list[str]]:
    """A main J1, J2 ... with drains, couplers, a hydrant, a branch that may be shut."""
    count = draw(st.integers(1, 3))
    names = [f"J{n}" for n in range(1, count + 1)]
    points = [point(name, z_m=draw(heights)) for name in names]
    links = [pipe(f"M{n}", names[n - 1], names[n], 15.0) for n in range(1, len(names))]
    for name in names:
        number = name[1:]
        extra = draw(
            st.sampled_from(["none", "drain", "quick_coupler", "hydrant", "spur"])
        )
        if extra == "spur":
            points.append(point(f"S{number}", z_m=draw(heights)))
            links.append(valve(f"SV{number}", name, f"S{number}", "open", "closed"))
        elif extra != "none":
            keys = {"drain": "manual"} if extra == "drain" else {}
            points.append(point(f"X{number}", extra, draw(heights), **keys))
            links.append(pipe(f"PX{number}", name, f"X{number}", 6.0))
    return (points, links), names


@st.composite
def spring_sites(draw: st.DrawFn) -> Site:
    """One source, a main, one to three zones, perhaps a controller and a filter."""
    source = draw(st.one_of(town_supplies(), well_supplies()))
    main, names = draw(mains())
    zones = [str(n) for n in range(1, draw(st.integers(1, 3)) + 1)]
    laterals = [
        lateral(
            zone,
            draw(st.sampled_from(names)),
            valve_opens_by=draw(st.sampled_from(["hand", "controller", "both"])),
        )
        for zone in zones
    ]
    points, links = joined(source, main, *laterals)
    for each in points:
        if each["kind"] == "supply" and draw(st.booleans()):
            each["flow"] = f"{draw(st.sampled_from([1, 3, 20]))} gpm"
    record = site_record(points, links, zones, cross_connection_rule="rp_or_airgap")
    if draw(st.booleans()):
        record["controllers"] = [{"id": "K", "wiring": "common"}]
    return site_of(record)


@st.composite
def sites_left_for_winter(draw: st.DrawFn) -> tuple[Site, AutumnRecord | None]:
    """A site, and how it was left: as the site names it, or any way that it allows."""
    site = draw(spring_sites())
    if draw(st.booleans()):
        return site, None
    elements = site_elements(build_graph(site))
    left = {
        key: draw(st.sampled_from(each.winter))
        for key, each in elements.items()
        if each.kind != "supply"
    }
    return site, AutumnRecord(positions=left)

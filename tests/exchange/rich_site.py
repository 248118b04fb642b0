"""A site with every kind of part and every key, for the tests of the site file."""

from typing import Any

Record = dict[str, Any]


FIRST = ("source", "what", "drain", "head")
"""Keys that stand before the elevation in a written file."""


def _point(id_: str, kind: str, elevation: str, **keys: Any) -> Record:
    first = {key: keys.pop(key) for key in FIRST if key in keys}
    return {"id": id_, "kind": kind, **first, "elevation": elevation, **keys}


def _link(id_: str, kind: str, from_: str, to: str, **keys: Any) -> Record:
    return {"id": id_, "kind": kind, "from": from_, "to": to, **keys}


def _pipe(id_: str, from_: str, to: str, length: str, **keys: Any) -> Record:
    own = ("pipe", "size", "inside_diameter", "material", "rating")
    bore = {key: keys.pop(key) for key in own if key in keys}
    return _link(id_, "pipe", from_, to, **bore, length=length, **keys)


def _points() -> list[Record]:
    return [
        _point(
            "S1",
            "supply",
            "0 ft",
            source="public",
            static_pressure={"value": "62 psi", "origin": "measured"},
            flow="18 gpm",
            position=[0, 0],
        ),
        _point("S2", "supply", "-20 ft", source="well", note="Drilled, cased."),
        _point("HOUSE", "other_use", "3 ft", what="house"),
        _point("J1", "junction", "-1.5 ft", position=[3.5, -2]),
        _point("J2", "junction", "-1.5 ft"),
        _point("J3", "junction", "0 ft"),
        _point("J4", "junction", "0 ft"),
        _point("J5", "junction", "-1.5 ft"),
        _point("J6", "junction", "-1.5 ft"),
        _point("J7", "junction", "-1.5 ft"),
        _point("J8", "junction", "-1.5 ft"),
        _point("J9", "junction", "-1.5 ft"),
        _point("A1", "blowout_port", "0 ft", fitting="1 in plug, brass", where="box 1"),
        _point(
            "D1",
            "drain",
            "-6 ft",
            drain="automatic",
            opens_below="5 psi",
            admits_air=False,
            opening="1/2 in",
        ),
        _point("D2", "drain", "-2 ft", drain="manual"),
        _point("Q1", "quick_coupler", "0.5 ft", opening="3/4 in"),
        _point("T1", "test_cock", "1 ft"),
        _point("E1", "open_end", "-1 ft"),
        _point("E2", "end", "-1.5 ft"),
        _point("E3", "hydrant", "1 ft", where="by the shed – öst"),
        _point("E4", "tank", "2 ft"),
        _point("E5", "vent", "1 ft"),
        _point("L1", "junction", "-1 ft"),
        _point(
            "H1",
            "head",
            "-1 ft",
            head="rotor",
            nozzle_height="0.5 ft",
            flow="2.0 gpm",
            at_pressure="45 psi",
            check_valve="8 ft",
            arc="180 deg",
            stays_up_above="15 psi",
            riser="PE swing pipe",
        ),
        _point("H2", "head", "-0.5 ft", head="spray", k="0.3 gpm/psi^0.5"),
        _point("H3", "head", "0 ft", head="drip_emitters"),
    ]


def _links() -> list[Record]:
    shutoff = {"summer": "open", "winter": "half_open"}
    return [
        _pipe(
            "P1",
            "S1",
            "J1",
            "140 ft",
            pipe="PVC SDR-21",
            size="1-1/2",
            depth="18 in",
            placement="buried",
            cover="turf",
            max_air_pressure="60 psi",
        ),
        _link(
            "V1",
            "isolation_valve",
            "J1",
            "J2",
            type="stop_and_waste",
            summer="open",
            winter="closed",
        ),
        _link("C1", "check_valve", "J2", "J3", holds="0 ft"),
        _link(
            "B1",
            "backflow",
            "J3",
            "J4",
            device="RP",
            size="1",
            placement="above_ground",
            serial="17-223",
            installed="2019-05-02",
            enclosure="none",
            shutoff_1=shutoff,
            shutoff_2=dict(shutoff),
            test_cocks={"count": 2, "winter": "half_open"},
        ),
        _link("X1", "master_valve", "J4", "A1"),
        _link("X2", "pressure_regulator", "A1", "J5", outlet_pressure="45 psi"),
        _pipe("P2", "J5", "J6", "36.5 m", pipe="unknown plastic", placement="buried"),
        _pipe(
            "P3",
            "J6",
            "J7",
            "60 ft",
            inside_diameter={"value": "1.049 in", "origin": "measured"},
            material="PE",
            rating={"value": "100 psi", "origin": "guessed"},
        ),
        _link("X3", "meter", "J7", "J8"),
        _link("X4", "fitting", "J8", "Q1"),
        _link("X5", "filter", "J8", "D2"),
        _link("X6", "flow_sensor", "J8", "T1"),
        _link("X7", "injector", "J8", "E1"),
        _link("X8", "relief_valve", "J8", "E5"),
        _pipe("P4", "J8", "D1", "12 ft", pipe="PE SIDR-15", size="1"),
        _pipe("P5", "J8", "E2", "8 ft", pipe="unknown PE", size="1"),
        _pipe("P6", "J8", "E3", "90 ft", pipe="copper L", size="1"),
        _pipe("P7", "J8", "E4", "30 ft", pipe="steel Sch 40", size="1"),
        _link(
            "PU",
            "pump",
            "S2",
            "J9",
            pump="submersible",
            control="pressure_switch",
            flow="9 gpm",
            shutoff_pressure="70 psi",
            least_flow="2 gpm",
            pressure_tank="20 gal",
            power_disconnect="pump house, breaker 7",
            also_feeds=["HOUSE"],
            drains_back="unknown",
        ),
        _pipe("P8", "J9", "HOUSE", "40 ft", pipe="PVC Sch 40", size="3/4"),
        _link(
            "Z1",
            "zone_valve",
            "J7",
            "L1",
            zone="1",
            station=1,
            cv=22,
            anti_siphon=False,
            opens_by="both",
        ),
        _pipe("P9", "L1", "H1", "20 ft", pipe="PVC Sch 40", size="1"),
        _pipe("P10", "H1", "H2", "20 ft", pipe="PVC Sch 40", size="3/4"),
        _pipe("P11", "H2", "H3", "20 ft", pipe="unknown", note="Not seen\nyet."),
    ]


def rich_record() -> Record:
    """Return a fresh copy of the site."""
    return {
        "format": "irrigation-site/1",
        "id": "rich",
        "name": "Rich “garden”",
        "place": {
            "latitude": 44.0,
            "longitude": -110,
            "elevation": "1900 m",
            "time_zone": "America/Denver",
            "autumn_air_temperature": "45 degF",
        },
        "air_limit": "50 psi",
        "cross_connection_rule": "rp_or_airgap",
        "points": _points(),
        "links": _links(),
        "zones": [
            {
                "id": "1",
                "name": "Walled garden, north",
                "valve": "Z1",
                "box": "box 2",
                "irrigates": "turf",
                "area": "310 m2",
                "near": ["path", "glass"],
                "blow_out_order": 1,
            },
            {
                "id": "4",
                "name": "Long bed",
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
            },
        ],
        "controllers": [
            {
                "id": "K1",
                "where": "mechanical room",
                "stations": 24,
                "wiring": "two_wire",
                "sensors": ["rain", "flow"],
            }
        ],
        "notes": ["The shut-off in the cellar weeps: keep the drain open."],
    }


def card_record() -> Record:
    """Return a fresh copy of a site known only from one card."""
    return {
        "format": "irrigation-site/1",
        "id": "card",
        "name": "One card",
        "place": {"elevation": "1200 ft", "time_zone": "America/Denver"},
        "card": {
            "zones": 9,
            "pipe": "unknown plastic",
            "size": "1",
            "largest_zone": "12 gpm",
            "main": "90 ft",
            "device": "PVB",
            "port": "1 in plug",
            "access": "gate on the lane",
        },
    }

"""A shutdown of Larkmoor written by hand, zone by zone, that breaks no rule."""

from tests.engine.procedure.gardens import List, blown, closing, opening, step
from tests.fixtures.demo import larkmoor

BY_HAND = ("Z10", "Z23")
WELL_ZONES = (*(f"Z{n}" for n in range(20, 30)), "30.v")


def _zones() -> list[str]:
    return [zone.valve or f"{zone.id}.v" for zone in larkmoor().zones]


def shutdown_of_larkmoor() -> List:
    """Town side from port A1, zone 10 by gravity, well side from port A2."""
    town = [v for v in _zones() if v not in (*WELL_ZONES, "Z10")]
    well = [v for v in _zones() if v in WELL_ZONES]
    both = ("controller:K-CELLAR", "controller:K-PUMP")
    return (
        step("set", "K", *((each, "suspended") for each in both)),
        closing("V1"),
        _run("Z1"),
        opening("D0"),
        step("prove_holding", "V1"),
        opening("B1/test_cocks", "half_open"),
        opening("D1"),
        _run("Z10"),
        closing("D1"),
        closing("VR"),
        closing("B1/shutoff_2"),
        closing("V2"),
        _run("Z24"),
        opening("D2"),
        step("prove_holding", "V2"),
        closing("D2"),
        step("connect", "A1", ("A1", "hose_connected")),
        *(each for valve in town for each in blown(valve)),
        step("disconnect", "A1", ("A1", "open"), sees=("A1",)),
        step("connect", "A2", ("A2", "hose_connected")),
        *(each for valve in well for each in blown(valve)),
        step("disconnect", "A2", ("A2", "open"), sees=("A2",)),
        step("open", "D1", ("D1", "open"), sees=("D1",), key="leave D1"),
        step("open", "D2", ("D2", "open"), sees=("D2",), key="leave D2"),
        step("open", "VX", ("VX", "half_open")),
        step("set", "B1", ("B1/shutoff_1", "half_open"), ("B1/shutoff_2", "half_open")),
        step("switch_off", "K", *((each, "off") for each in both)),
    )


def _run(valve: str):
    return step("run", valve, during=((valve, "open"),), sees=(valve,))

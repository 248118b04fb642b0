"""Worksheets on leaks: what a test may lose, and what the meter shows."""

from maintenance.engine.figure import Warning
from maintenance.engine.startup.leak import (
    leak_allowance_c605,
    leak_from_meter,
    leak_volume_american_fork,
)
from maintenance.engine.units import display
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.site_inputs import HIGHEST_PRESSURE_PA, length

_SMALLEST_MAIN_M = 4.0 * 0.0254

_STILL = Warning(
    "dial_did_not_move",
    "The meter shows nothing, so any leak is below what the dial can show in that "
    "time; wait longer to see a smaller one.",
    ("volume",),
)

_SMALL = Warning(
    "smaller_than_the_standard",
    "C605 is made for mains of 4 in and wider (from memory); for this pipe the figure "
    "is a comparison, not an allowance.",
    ("diameter",),
)


def _leak_allowance(*, length: float, diameter: float, pressure: float) -> Outcome:
    flow = float(leak_allowance_c605(length, diameter, pressure))
    city = float(leak_volume_american_fork(length, diameter))
    us = display(city, "volume", "us", "down", digits=2)
    si = display(city, "volume", "si", "down", digits=2)
    local = Warning(
        "local_code",
        f"A local code may allow another amount: that of American Fork (Utah) allows "
        f"{us} ({si}) for this pipe in its test of 2 h.",
    )
    small = diameter < _SMALLEST_MAIN_M
    return Outcome(
        {"flow_m3_per_s": flow},
        warnings=(_SMALL, local) if small else (local,),
        doubtful=frozenset({"flow_m3_per_s"} if small else ()),
    )


def _meter_leak(*, volume: float, duration: float) -> Outcome:
    flow = float(leak_from_meter(volume, duration))
    return Outcome({"flow_m3_per_s": flow}, warnings=() if volume > 0.0 else (_STILL,))


WORKSHEETS = (
    Worksheet(
        name="leak_allowance",
        title="Make-up water in a leak test",
        purpose="The most water that a standard for gasketed mains lets a test lose.",
        method="L D sqrt(P)/148,000 gal/h with L in ft, D in inches, P in psi",
        inputs=(
            length("length under test"),
            Input(
                name="diameter",
                label="nominal diameter",
                dimension="diameter",
                low=0.01,
                high=1.5,
                such_as="4 in",
                help="As the pipe is called, not as measured.",
            ),
            Input(
                name="pressure",
                label="gauge pressure of the test",
                dimension="pressure",
                low=1000.0,
                high=HIGHEST_PRESSURE_PA,
            ),
        ),
        outputs=(
            Output(
                key="flow_m3_per_s",
                label="make-up water, at most",
                dimension="leak_flow",
                rounding="down",
            ),
        ),
        sources=(
            (
                "AWWA C605-05, formula and table as copied at dnrweblink.state.co.us, "
                "document 914792, p. 52"
            ),
            "American Fork (Utah), city code 15.01.790",
            (
                "Indian River County (Florida), specification for PE mains (PE stretches "
                "for hours)"
            ),
        ),
        function=_leak_allowance,
        cautions=(
            (
                "An upper bound for PVC mains with gasketed joints, 4 in and wider (the "
                "size is from memory). A solvent-welded main should lose nothing."
            ),
            (
                "Measure the water put back in, not the fall of the gauge: trapped air hides "
                "a leak, and PE stretches for hours without one."
            ),
            "Test with water, never with air.",
        ),
    ),
    Worksheet(
        name="meter_leak",
        title="Leak by the water meter",
        purpose="Mean leak from two meter readings while nothing runs.",
        method="(second reading - first reading)/time between them",
        inputs=(
            Input(
                name="volume",
                label="water that the meter counted",
                dimension="volume",
                low=0.0,
                high=1000.0,
                such_as="0.2 ft3",
                help="Second reading less the first.",
            ),
            Input(
                name="duration",
                label="time between the readings",
                dimension="time",
                low=10.0,
                high=2_592_000.0,
                such_as="15 min",
            ),
        ),
        outputs=(
            Output(
                key="flow_m3_per_s",
                label="leak",
                dimension="leak_flow",
                rounding="up",
            ),
        ),
        sources=("definition",),
        function=_meter_leak,
        cautions=(
            "Nothing may draw water in that time: house, softener, pump fill, zones.",
            (
                "Read again with the irrigation valve shut: what then stops was on the "
                "irrigation side."
            ),
        ),
    ),
)

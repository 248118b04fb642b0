"""Worksheets on the receiver of a compressor."""

from maintenance.engine.air.receiver import (
    blowdown_time_adiabatic,
    blowdown_time_isothermal,
    free_air_stored,
    receiver_volume_needed,
)
from maintenance.engine.errors import InputError
from maintenance.engine.figure import Warning
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.site_inputs import (
    ATMOSPHERIC,
    HIGHEST_PRESSURE_PA,
    air_flow,
    temperature,
)

_SOURCE = (
    "US Department of Energy / Oak Ridge compressed-air tools (AMO-Tools-Suite, "
    "2024), receiver calculator and its unit tests"
)


def _gauge(name: str, label: str) -> Input:
    return Input(
        name=name,
        label=label,
        dimension="pressure",
        low=0.0,
        high=HIGHEST_PRESSURE_PA,
    )


def _volume(*, optional: bool) -> Input:
    return Input(
        name="volume",
        label="volume of the receiver",
        dimension="volume",
        low=0.0 if optional else 1e-4,
        high=100.0,
        optional=optional,
    )


def _check_falls(pressure_high: float, pressure_low: float) -> None:
    if not pressure_high > pressure_low:
        raise InputError(
            "pressure_high must lie above pressure_low; give the higher one first",
            input="pressure_high",
            low=pressure_low,
        )


def _receiver(
    *,
    volume: float | None,
    pressure_high: float,
    pressure_low: float,
    free_air_delivery: float | None,
    demand: float | None,
    duration: float | None,
    atmospheric: float,
) -> Outcome:
    _check_falls(pressure_high, pressure_low)
    if volume is None and (demand is None or duration is None):
        raise InputError(
            'volume is missing; give volume="20 gal", or demand with duration to size '
            "a receiver",
            input="volume",
        )
    supply = free_air_delivery or 0.0
    stored = (
        None
        if volume is None
        else float(free_air_stored(volume, pressure_high, pressure_low, atmospheric))
    )
    net = None if demand is None else demand - supply
    keeps_up = net is not None and net <= 0.0
    needed = None
    if net is not None and duration is not None:
        lacking = max(net, 0.0)
        needed = float(
            receiver_volume_needed(
                lacking, duration, pressure_high, pressure_low, atmospheric
            )
        )
    refills = stored is not None and supply > 0.0
    lasts = stored is not None and net is not None and net > 0.0
    return Outcome(
        {
            "free_air_m3": stored,
            "refill_s": stored / supply if refills and stored is not None else None,
            "lasts_s": stored / net if lasts and stored is not None and net else None,
            "volume_needed_m3": needed,
        },
        warnings=(_KEEPS_UP,) if keeps_up else (),
        missing=_missing(keeps_up=keeps_up, delivery=free_air_delivery),
    )


_KEEPS_UP = Warning(
    "keeps_up", "The compressor keeps up with the demand: the receiver never falls."
)


def _missing(*, keeps_up: bool, delivery: float | None) -> dict[str, str]:
    never = "cannot: the compressor delivers nothing"
    return {
        "free_air_m3": "give the volume of the receiver",
        "refill_s": never if delivery == 0.0 else "give free_air_delivery",
        "lasts_s": "for ever: the compressor keeps up" if keeps_up else "give demand",
        "volume_needed_m3": "give demand and duration",
    }


def _receiver_blowdown(
    *,
    volume: float,
    effective_area: float,
    pressure_high: float,
    pressure_low: float,
    temperature: float,
    atmospheric: float,
) -> Outcome:
    _check_falls(pressure_high, pressure_low)
    case = (
        volume,
        effective_area,
        pressure_high + atmospheric,
        pressure_low + atmospheric,
        temperature,
        atmospheric,
    )
    return Outcome(
        {
            "adiabatic_s": blowdown_time_adiabatic(*case),
            "isothermal_s": blowdown_time_isothermal(*case),
        }
    )


WORKSHEETS = (
    Worksheet(
        name="receiver",
        title="Receiver of a compressor",
        purpose="Free air in a tank, how fast it refills, how long it lasts.",
        method="V (p high - p low)/air pressure; times by dividing by the flow",
        inputs=(
            _volume(optional=True),
            _gauge("pressure_high", "gauge pressure of the full receiver"),
            _gauge("pressure_low", "lowest gauge pressure that serves"),
            air_flow("free_air_delivery", "free air delivered", optional=True),
            air_flow("demand", "free air taken", optional=True),
            Input(
                name="duration",
                label="how long the demand lasts",
                dimension="time",
                low=0.0,
                high=86_400.0,
                optional=True,
            ),
            ATMOSPHERIC,
        ),
        outputs=(
            Output(
                key="free_air_m3",
                label="free air stored",
                dimension="volume",
                rounding="down",
            ),
            Output(
                key="refill_s",
                label="time to refill without demand",
                dimension="time",
                rounding="up",
            ),
            Output(
                key="lasts_s",
                label="time the receiver lasts",
                dimension="time",
                rounding="down",
            ),
            Output(
                key="volume_needed_m3",
                label="receiver needed",
                dimension="volume",
                rounding="up",
            ),
        ),
        sources=(_SOURCE,),
        function=_receiver,
        cautions=("The air cools as the tank empties; it gives a little less.",),
    ),
    Worksheet(
        name="receiver_blowdown",
        title="Emptying a receiver through an opening",
        purpose="Time in which a tank falls from one pressure to another, as a band.",
        method=(
            "mass balance with the nozzle law; adiabatic (air cools) and isothermal "
            "(air keeps its temperature)"
        ),
        inputs=(
            _volume(optional=False),
            Input(
                name="effective_area",
                label="discharge coefficient times area of the opening",
                dimension="small_area",
                low=1e-8,
                high=0.1,
            ),
            _gauge("pressure_high", "gauge pressure at the start"),
            _gauge("pressure_low", "gauge pressure at the end"),
            temperature(label="temperature of the air at the start"),
            ATMOSPHERIC,
        ),
        outputs=(
            Output(
                key="adiabatic_s",
                label="time if the air takes no heat",
                dimension="time",
            ),
            Output(
                key="isothermal_s",
                label="time if the air stays warm",
                dimension="time",
            ),
        ),
        sources=("standard gas dynamics; derived, checked by numerical integration",),
        function=_receiver_blowdown,
        cautions=("A short burst from a steel tank starts near the adiabatic figure.",),
    ),
)

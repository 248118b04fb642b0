"""Worksheets on a sprinkler head: its water, and air through it by two routes."""

from maintenance.engine.air.outlets import (
    critical_pressure,
    effective_area_from_k,
    mass_flow_nozzle,
    outlet_coefficient,
    second_route_ratio,
    water_flow_from_k,
)
from maintenance.engine.air.properties import atmospheric_pressure, standard_flow
from maintenance.engine.errors import InputError
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input
from maintenance.engine.worksheets.site_inputs import (
    ELEVATION,
    HIGHEST_PRESSURE_PA,
    temperature,
)

COEFFICIENT_INPUTS = (
    Input(
        name="k",
        label="coefficient of the head, q = K sqrt(p)",
        dimension="outlet_coefficient",
        low=0.0,
        high=1e-3,
        optional=True,
        help="Give this, or flow with at_pressure. 0 is a blocked head.",
    ),
    Input(
        name="flow",
        label="water flow of the head",
        dimension="flow",
        low=0.0,
        high=0.5,
        optional=True,
    ),
    Input(
        name="at_pressure",
        label="gauge pressure of that flow",
        dimension="pressure",
        low=1000.0,
        high=HIGHEST_PRESSURE_PA,
        optional=True,
    ),
)


def coefficient_of(
    k: float | None, flow: float | None, at_pressure: float | None
) -> float:
    """Coefficient of a head from either way to state it.

    Parameters
    ----------
    k : float or None
        K in q = K sqrt(p) [m3/s/Pa^0.5].
    flow : float or None
        Water flow [m3/s].
    at_pressure : float or None
        Gauge pressure of that flow [Pa].

    Returns
    -------
    float
        K [m3/s/Pa^0.5].

    Raises
    ------
    InputError
        If neither way, or both, is complete.
    """
    if k is not None:
        if flow is not None or at_pressure is not None:
            raise InputError(
                "k: give either k, or flow with at_pressure, not both", input="k"
            )
        return k
    if flow is None:
        raise InputError(
            'k is missing; give k="0.4 gpm/psi^0.5", or flow="2 gpm" with '
            'at_pressure="30 psi"',
            input="k",
        )
    if at_pressure is None:
        raise InputError(
            'at_pressure is missing; give at_pressure="30 psi" beside the flow',
            input="at_pressure",
        )
    return float(outlet_coefficient(flow, at_pressure))


_ONE_K = "the head has one K at every pressure (no regulator in its stem)"


def _head_air(
    *,
    k: float | None,
    flow: float | None,
    at_pressure: float | None,
    pressure: float,
    elevation: float,
    temperature: float,
    x_t: float,
) -> Outcome:
    coefficient = coefficient_of(k, flow, at_pressure)
    site = float(atmospheric_pressure(elevation))
    inside = site + pressure
    area = float(effective_area_from_k(coefficient))
    nozzle = float(standard_flow(mass_flow_nozzle(area, inside, site, temperature)))
    return Outcome(
        {
            "effective_area_m2": area,
            "standard_m3_per_s": nozzle,
            "choked": float(critical_pressure(inside)) >= site,
            "standard_m3_per_s_high": nozzle
            * float(second_route_ratio(inside, site, x_t)),
        },
        assumptions=(_ONE_K,),
    )


def _head_flow(
    *,
    k: float | None,
    flow: float | None,
    at_pressure: float | None,
    pressure: float,
) -> Outcome:
    coefficient = coefficient_of(k, flow, at_pressure)
    return Outcome(
        {"flow_m3_per_s": float(water_flow_from_k(coefficient, pressure))},
        assumptions=(_ONE_K,),
    )


WORKSHEETS = (
    Worksheet(
        name="head_air",
        title="Air through a dry head",
        purpose="Standard air that a dry head passes at a gauge pressure, as a band.",
        method=(
            "nozzle law with the water's effective area; the high figure by the "
            "control-valve equation with the same K"
        ),
        inputs=(
            *COEFFICIENT_INPUTS,
            Input(
                name="pressure",
                label="gauge pressure of the air at the head",
                dimension="pressure",
                low=0.0,
                high=HIGHEST_PRESSURE_PA,
            ),
            ELEVATION,
            temperature(
                label="temperature of the air",
                default="293.15 K",
                default_origin="standard air",
            ),
            Input(
                name="x_t",
                label="pressure-drop ratio factor",
                kind="number",
                low=0.3,
                high=0.95,
                default="0.7",
                default_origin="middle of 0.6 to 0.8; common practice, no source",
            ),
        ),
        outputs=(
            Output(
                key="effective_area_m2",
                label="effective area",
                dimension="small_area",
            ),
            Output(
                key="standard_m3_per_s",
                label="standard air by the nozzle law",
                dimension="air_flow",
            ),
            Output(key="choked", label="flow is choked", kind="flag"),
            Output(
                key="standard_m3_per_s_high",
                label="standard air by the second route",
                dimension="air_flow",
                rounding="up",
            ),
        ),
        sources=(
            "isentropic nozzle law",
            "IEC 60534-2-1 / ISA-75.01 as coded in fluids 1.3.1",
        ),
        function=_head_air,
        cautions=(
            (
                "Taking the water's effective area for air is plausible within 0 to 25 %, "
                "untested for gear-driven heads."
            ),
            "A pop-up head passes nothing below its opening pressure.",
        ),
    ),
    Worksheet(
        name="head_flow",
        title="Water of a head at another pressure",
        purpose="Water that a head gives at a pressure, from its K or one known point.",
        method="q = K sqrt(p); K = flow/sqrt(at_pressure)",
        inputs=(
            *COEFFICIENT_INPUTS,
            Input(
                name="pressure",
                label="gauge pressure of the water at the head",
                dimension="pressure",
                low=0.0,
                high=HIGHEST_PRESSURE_PA,
            ),
        ),
        outputs=(
            Output(
                key="flow_m3_per_s",
                label="water flow",
                dimension="small_flow",
            ),
        ),
        sources=(
            (
                "EPANET documentation (exponent 0.5 for sprinklers and nozzles), "
                "OpenWaterAnalytics, emitters"
            ),
        ),
        function=_head_flow,
        cautions=(
            (
                "Not for a head with a pressure regulator or a pressure-compensating "
                "emitter: above its set pressure the flow hardly grows."
            ),
            "A pop-up head gives nothing useful below the pressure that lifts it.",
        ),
    ),
)

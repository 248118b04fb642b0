"""The verdict and the cautions of a row in words for a person at the valve."""

import math
from collections.abc import Sequence

from maintenance.engine.blowout.heat_clock import WARM_K, HeatClock
from maintenance.engine.blowout.lanes import Mask
from maintenance.engine.blowout.prepare import Prepared
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.settings import DESIGN_SPEED
from maintenance.engine.blowout.sheet import Displaced, Gauge, StandingWater
from maintenance.engine.blowout.sweep import Sweep
from maintenance.engine.site import Pipe, ZoneValve
from maintenance.engine.units import display

STATES = {
    "cannot": "cannot",
    "too_much": "clears, no reading",
    "enough": "clears",
    "enough_with_rests": "clears with rests",
    "not_enough": "does not clear",
}
"""The verdicts as a person reads them."""
HIGH_ENERGY_J = 100_000.0
"""Above this an explosion is called highly hazardous by UC Berkeley EHS."""


def verdict_text(
    row: Row,
    verdict: str,
    swept: Sequence[Sweep],
    rises: Mask,
    pools: Sequence[StandingWater],
    shown: int,
    gauge: Gauge,
) -> str:
    """Say the verdict in a sentence or two.

    Parameters
    ----------
    row : Row
        The row. [-]
    verdict : str
        One of `STATES`. [-]
    swept : sequence of Sweep
        Its pipes. [-]
    rises : array
        True for the rises that count. [-]
    pools : sequence of StandingWater
        What stays. [-]
    shown : int
        Passes shown. [-]
    gauge : Gauge
        The plateaus. [-]

    Returns
    -------
    str
        Sentences. [-]
    """
    times = "one pass" if shown == 1 else f"{shown} passes"
    if verdict == "cannot":
        return "The front never reaches the last head at this setting."
    if verdict == "enough":
        return f"Should clear in {times}. {_climb(swept, rises)}"
    if verdict == "too_much":
        return (
            f"Should clear in {times}, but the compressor holds the setting with all heads "
            "dry: no reading tells when it is done. Open the valve slowly."
        )
    if verdict == "enough_with_rests":
        return f"Should clear in {times} if the tank refills between them. {_climb(swept, rises)}"
    return _shortfall(swept, rises, pools)


def _climb(swept: Sequence[Sweep], rises: Mask) -> str:
    found = [s for s, rise in zip(swept, rises, strict=True) if rise]
    if not found:
        return "No rise on the way holds water back."
    least = min(found, key=lambda s: s.steepest_rise_deg)
    if least.steepest_rise_deg >= 90.0:
        return "Clears any rise on the way."
    run = 1.0 / max(math.tan(math.radians(least.steepest_rise_deg)), 1e-3)
    return f"Clears rises up to 1 in {max(1.0, run):.0f} at {least.link}."


def _shortfall(
    swept: Sequence[Sweep], rises: Mask, pools: Sequence[StandingWater]
) -> str:
    missed = [
        s.link for s, rise in zip(swept, rises, strict=True) if rise and not s.swept
    ]
    places = [pool.at for pool in pools if pool.fills_bore and not pool.runs_out]
    parts = []
    if missed:
        parts.append(f"the air does not sweep the rise {', '.join(missed)}")
    if places:
        parts.append(f"water stays at {', '.join(dict.fromkeys(places))}")
    if not parts:
        parts.append("the water that stays is too much")
    return f"Does not clear: {'; '.join(parts)}. Open the end or drain there."


def row_cautions(
    prepared: Prepared,
    row: Row,
    displaced: Displaced,
    gauge: Gauge,
    clock: HeatClock | None,
) -> tuple[str, ...]:
    """Return the cautions that stand beside a row.

    Parameters
    ----------
    prepared : Prepared
        The sheet's decisions. [-]
    row : Row
        The row. [-]
    displaced : Displaced
        Its first front. [-]
    gauge : Gauge
        Its plateaus. [-]
    clock : HeatClock or None
        Its heat clock. [-]

    Returns
    -------
    tuple of str
        Short sentences with what to do. [-]
    """
    result = []
    if displaced.peak_velocity > DESIGN_SPEED:
        speed = display(displaced.peak_velocity, "velocity", prepared.units, "up")
        most = display(DESIGN_SPEED, "velocity", prepared.units)
        result.append(f"Water runs up to {speed}, faster than {most}: open slowly.")
    on_s = prepared.on_s[row.key]
    if (
        clock is not None
        and clock.seconds_to_warm is not None
        and clock.seconds_to_warm < on_s
    ):
        warm = display(WARM_K, "temperature", prepared.units)
        result.append(
            f"The pipe at the port can pass {warm} after {clock.seconds_to_warm:.0f} s: "
            "if you cannot keep a hand on the fitting, stop."
        )
    if gauge.regulator_holds:
        result.append(
            "Open the valve slowly: the compressor does not run short of air."
        )
    result += _part_cautions(prepared, row)
    if row.kind == "coupler":
        result.append("Key in and out only with the air off and the gauge at zero.")
    if any(outlet.holding_m > 0 for outlet in row.outlets):
        result.append("Heads with checks hold some water under them.")
    if any(outlet.kind == "drip_emitters" for outlet in row.outlets):
        result.append("Drip: open the line's end before the air goes on.")
    return tuple(result)


def _part_cautions(prepared: Prepared, row: Row) -> list[str]:
    """Return what the recorded parts of a row ask to mind."""
    result = []
    for zone in prepared.graph.site.zones:
        if zone.id == row.zone and zone.near:
            result.append(
                f"Near {', '.join(zone.near)}: heads throw water and grit far."
            )
    for link_id in row.links:
        link = prepared.graph.links[link_id]
        if isinstance(link, Pipe) and link.air_exception:
            text = f"{link_id}: not buried; entered exception: {link.air_exception}."
            result.append(text)
        if isinstance(link, ZoneValve) and link.anti_siphon:
            result.append(
                f"{link_id} is an anti-siphon valve: air can hurt its float; take the "
                "bonnet off or blow from below it."
            )
        if isinstance(link, ZoneValve) and link.opens_by == "hand":
            result.append(f"{link_id} is opened by hand: air off and gauge zero first.")
    return result

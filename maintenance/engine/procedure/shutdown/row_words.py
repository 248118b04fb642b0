"""A row of the blow-out sheet as a line of the list: setting, times, when it is done."""

import math
from typing import Final

from maintenance.engine.blowout.sheet import RowSheet
from maintenance.engine.units import UnitSystem, display, round_text, to_unit

REST_STEP_S: Final = 10.0
"""Rests are told in steps of ten seconds, rounded up: nobody counts closer."""


def setting_words(row: RowSheet, units: UnitSystem) -> str:
    """Write the setting of a row.

    Parameters
    ----------
    row : RowSheet
        The row. [Pa]
    units : str
        ``us`` or ``si``. [-]

    Returns
    -------
    str
        Rounded down, with its unit. [-]
    """
    return display(row.set_pressure_pa, "pressure", units, "down")


def times_words(row: RowSheet) -> str:
    """Write how long the air is on: the first front, then the passes.

    Parameters
    ----------
    row : RowSheet
        The row. [s]

    Returns
    -------
    str
        The front rounded up, passes down, rests up to ten seconds. [s]
    """
    front = row.displacement.time_s if row.displacement else None
    parts = (
        [] if front is None else [f"{math.ceil(front - 1e-9)} s till the water ends"]
    )
    if row.passes:
        on_s = math.floor(row.passes[0].on_s)
        text = f"{len(row.passes)} × {on_s} s"
        rests = [
            f"{math.ceil(each.rest_s / REST_STEP_S - 1e-9) * REST_STEP_S:.0f} s after pass {n}"
            for n, each in enumerate(row.passes[:-1], start=1)
            if each.rest_s
        ]
        parts.append(text + (f", rest {' and '.join(rests)}" if rests else ""))
    return ", then ".join(parts)


def done_words(row: RowSheet, units: UnitSystem) -> str:
    """Say what the gauge reads when a row is done, where it can tell.

    Parameters
    ----------
    row : RowSheet
        The row. [Pa]
    units : str
        ``us`` or ``si``. [-]

    Returns
    -------
    str
        A sentence with a space before it; nothing where it cannot tell. [-]
    """
    if row.gauge is None or not row.gauge.usable:
        return ""
    band = (row.gauge.dry_pa, row.gauge.dry_high_pa)
    low, high = (round_text(to_unit(p, "pressure", units)[0], 0) for p in band)
    unit = to_unit(band[0], "pressure", units)[1]
    reads = low if low == high else f"{low} to {high}"
    return f" Done at {reads} {unit} on the gauge."


def row_minutes(row: RowSheet, change_over_s: float) -> float:
    """Return the time that a row takes with its change-over.

    Parameters
    ----------
    row : RowSheet
        The row. [s]
    change_over_s : float
        Time to get to the next row. [s]

    Returns
    -------
    float
        Air, rests and change-over. [min]
    """
    return (row.air_s + change_over_s) / 60.0

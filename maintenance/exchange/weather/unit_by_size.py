"""The unit of temperatures that come without one, from the size of their numbers."""

from typing import Final

import numpy as np

from maintenance.engine.climate.cleaning import COLDEST_DEGF, HOTTEST_DEGF
from maintenance.engine.climate.degrees import (
    RECORD_UNITS,
    Array,
    degf_of,
    kelvin_of,
)

FEWEST: Final = 30
"""Fewer numbers tell nothing."""

HOTTEST_DEGC: Final = 57.0
"""No air temperature has been above this in °C; 56.7 is the record (from memory)."""

YEARLONG: Final = 300
"""So many maxima show a summer; project choice."""

LARGEST_STEP_DEGF: Final = 15.0
"""Minima of successive days do not differ by more in the middle of a record; choice."""

STRAYS: Final = 0.01
"""Share of the numbers that may be absurd."""


def unit_by_size(
    minima: Array, maxima: Array, *, whole_if_degf: bool = False
) -> str | None:
    """Tell the unit of a record, where only one is possible.

    Parameters
    ----------
    minima, maxima : ndarray
        Numbers as written, day after day, NaN where unknown. [unit]
    whole_if_degf : bool
        The file comes from an archive whose °F are whole numbers. [-]

    Returns
    -------
    str or None
        A key of `RECORD_UNITS`; None where the numbers fit none or more than one. [-]

    Notes
    -----
    A unit is possible where hardly any number is absurd in it and minima do not jump
    too far from day to day. °C are never above 57; °F have a summer above 57; tenths
    of °C are whole numbers, some beyond what °F can be.
    """
    every = np.concatenate([minima, maxima])
    every = every[np.isfinite(every)]
    if len(every) < FEWEST:
        return None
    whole = bool((every == np.round(every)).all())
    possible = [unit for unit in RECORD_UNITS if _is_possible(unit, minima, every)]
    if "degF" in possible and (
        (whole_if_degf and not whole) or _has_no_summer(minima, maxima)
    ):
        possible.remove("degF")
    beyond = (every > HOTTEST_DEGF) | (every < COLDEST_DEGF)
    if "tenths_degC" in possible and not (whole and beyond.mean() > STRAYS):
        possible.remove("tenths_degC")
    return possible[0] if len(possible) == 1 else None


def _is_possible(unit: str, minima: Array, every: Array) -> bool:
    degf = degf_of(kelvin_of(every, unit))
    hottest = degf_of(kelvin_of(HOTTEST_DEGC, "degC"))
    absurd = (degf < COLDEST_DEGF) | (degf > min(HOTTEST_DEGF, float(hottest)))
    steps = np.abs(np.diff(degf_of(kelvin_of(minima, unit))))
    steps = steps[np.isfinite(steps)]
    jumps = len(steps) > 0 and float(np.median(steps)) > LARGEST_STEP_DEGF
    return not jumps and float(absurd.mean()) <= STRAYS


def _has_no_summer(minima: Array, maxima: Array) -> bool:
    known = maxima[np.isfinite(maxima)]
    return len(known) >= YEARLONG and float(np.quantile(known, 0.99)) <= HOTTEST_DEGC

"""Series made for a test, in °F."""

from collections.abc import Mapping, Sequence
from datetime import date

import numpy as np

from maintenance.engine.climate.degrees import kelvin_of
from maintenance.engine.climate.series import DailySeries, frozen

AUGUST = date(2001, 8, 1)


def series_of(
    tmin_degf: Sequence[float],
    tmax_degf: Sequence[float] | None = None,
    *,
    first: date = AUGUST,
) -> DailySeries:
    """Return a series; maxima unknown if not given."""
    minima = np.array(tmin_degf, dtype=float)
    maxima = np.full(len(minima), np.nan) if tmax_degf is None else np.array(tmax_degf)
    return DailySeries(
        first, frozen(kelvin_of(minima, "degF")), frozen(kelvin_of(maxima, "degF"))
    )


def mild_year(
    changed: Mapping[date, float], *, first: date = AUGUST, days: int = 365
) -> DailySeries:
    """Return days of 50 °F with some changed."""
    minima = [50.0] * days
    for day, value in changed.items():
        minima[(day - first).days] = value
    return series_of(minima, first=first)


def degf(value: float) -> float:
    """Return °F as K."""
    return float(kelvin_of(value, "degF"))

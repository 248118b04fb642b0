"""The ground of past winters under a record of daily temperatures."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

import numpy as np

from maintenance.engine.climate.degrees import Array
from maintenance.engine.climate.seasons import (
    MOST_MISSING,
    complete_seasons,
    season_days,
)
from maintenance.engine.climate.series import DailySeries
from maintenance.engine.freezing.constants import DAYS_PER_YEAR, FREEZING_POINT_K
from maintenance.engine.freezing.shelter import IN_A_BOX
from maintenance.engine.freezing.soil_column import (
    LOAM,
    NODE_DEPTHS_M,
    freeze_ground,
    surface_temperature,
)
from maintenance.engine.freezing.soil_wave import soil_temperature_kusuda

MOST_SEASONS: Final = 30
"""The last seasons that are followed: the usual length of a normal period."""

WINTER_DAYS: Final = 273
"""1 August to 30 April [d]."""

BOX_SOIL_M: Final = 8 * 0.0254
BOX_COVER: Final = "turf"
"""Soil that stands for the ground around a valve box; assumed."""


@dataclass(frozen=True, slots=True)
class GroundSeasons:
    """Past winters from 1 August, axes day and season.

    ``air_k`` is the mean of the day, ``soil_k`` that of the soil at 8 in [K];
    ``frost_m`` the depth of the frost under each cover [m].
    """

    air_k: Array
    soil_k: Array
    frost_m: dict[str, Array]

    def days_of_frost(self, cover: str, depth_m: float) -> list[int | None]:
        """Return the first day of each season on which frost stands at a depth.

        Parameters
        ----------
        cover : str
            Of the ground. [-]
        depth_m : float
            At least 0. [m]

        Returns
        -------
        list of int or None
            Days after 1 August, None for never. [d]
        """
        return _first_days(self.frost_m[cover] >= max(depth_m, 1e-6))

    def days_of_frost_in_boxes(self) -> list[int | None]:
        """Return the first day of each season on which the air in a box freezes.

        Returns
        -------
        list of int or None
            Days after 1 August, None for never. [d]
        """
        share = IN_A_BOX.air_share
        air_k = share * self.air_k + (1.0 - share) * self.soil_k
        return _first_days(air_k <= FREEZING_POINT_K)

    def usual_soil(self, day: int) -> float | None:
        """Return the soil at 8 in that is usual on a day.

        Parameters
        ----------
        day : int
            Days after 1 August. [d]

        Returns
        -------
        float or None
            Mean of the seasons; None outside the winter. [K]
        """
        return float(self.soil_k[day].mean()) if 0 <= day < WINTER_DAYS else None


def ground_seasons(series: DailySeries, covers: Sequence[str]) -> GroundSeasons | None:
    """Follow the ground through the winters of a record.

    Parameters
    ----------
    series : DailySeries
        A record, cleaned. [K]
    covers : sequence of str
        Covers of the ground that are asked for. [-]

    Returns
    -------
    GroundSeasons or None
        None where no season has enough minima and maxima. [SI]

    Notes
    -----
    Begins on 1 August with the yearly wave fitted to the record's daily means, and
    takes loam, no snow and no sun: say 30 % of the depth and 10 days of the date.
    """
    mean_k = 0.5 * (series.tmin_k + series.tmax_k)
    air_k = _winters(series, mean_k)
    if air_k is None:
        return None
    wanted = list(dict.fromkeys([BOX_COVER, *covers]))
    surface = np.hstack([surface_temperature(air_k, cover) for cover in wanted])
    ground = freeze_ground(surface, _start(series, mean_k), [BOX_SOIL_M], soil=LOAM)
    count = air_k.shape[1]
    frost = {
        cover: ground.frost_depth_m[:, at * count : (at + 1) * count]
        for at, cover in enumerate(wanted)
    }
    return GroundSeasons(air_k, ground.temperature_k[:, :count, 0], frost)


def _winters(series: DailySeries, mean_k: Array) -> Array | None:
    """Lay winters with at most ten days missing side by side, gaps bridged."""
    years = complete_seasons(series, "fall")
    if years is None:
        return None
    kept = []
    for year in range(years[0], years[1] + 1):
        at = series.index(season_days(year, "fall")[0])
        winter = mean_k[max(at, 0) : at + WINTER_DAYS]
        known = np.isfinite(winter)
        if at < 0 or len(winter) < WINTER_DAYS or (~known).sum() > MOST_MISSING:
            continue
        days = np.arange(WINTER_DAYS)
        kept.append(np.interp(days, days[known], winter[known]))
    return np.array(kept[-MOST_SEASONS:]).T if kept else None


def _start(series: DailySeries, mean_k: Array) -> Array:
    known = np.flatnonzero(np.isfinite(mean_k))
    new_year = series.first.timetuple().tm_yday
    turn = 2.0 * np.pi * (known + new_year) / DAYS_PER_YEAR
    terms = np.column_stack([np.ones(len(known)), np.cos(turn), np.sin(turn)])
    (mean, cosine, sine), *_ = np.linalg.lstsq(terms, mean_k[known], rcond=None)
    coldest = DAYS_PER_YEAR * np.arctan2(-sine, -cosine) / (2.0 * np.pi)
    day = (season_days(2001, "fall")[0] - timedelta(days=1)).timetuple().tm_yday
    return soil_temperature_kusuda(
        NODE_DEPTHS_M,
        day,
        mean,
        np.hypot(cosine, sine),
        coldest,
        LOAM.conductivity_thawed / LOAM.capacity_thawed,
    )


def _first_days(frozen: np.ndarray) -> list[int | None]:
    return [
        int(column.argmax()) if column.any() else None
        for column in np.asarray(frozen).T
    ]

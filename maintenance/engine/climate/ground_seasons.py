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

GROUND_DAYS: Final = 334
"""1 August to 30 June [d]: until the deepest pipe lies in warm soil again."""

BOX_SOIL_M: Final = 8 * 0.0254
BOX_COVER: Final = "turf"
"""Soil that stands for the ground around a valve box; assumed."""

WARM_SOIL_K: Final = (33.0 + 459.67) / 1.8
WARM_DAYS: Final = 7
"""Soil above this for so many days has thawed for good [K, d]; project choice."""

_DEEPEST_M: Final = float(NODE_DEPTHS_M[-1])


@dataclass(frozen=True, slots=True)
class GroundSeasons:
    """Past winters from 1 August to 30 June, axes day and season.

    ``air_k`` is the mean of the day [K]; ``frost_m`` the depth of the frost under each
    cover [m]; ``under_k`` the soil under each [K], with ``depths_m`` as last axis.
    """

    air_k: Array
    frost_m: dict[str, Array]
    under_k: dict[str, Array]
    depths_m: tuple[float, ...]

    @property
    def soil_k(self) -> Array:
        """The soil at 8 in, for what stands in a box."""
        return self.under_k[BOX_COVER][:, :, self.depths_m.index(BOX_SOIL_M)]

    @property
    def deepest_m(self) -> dict[str, tuple[float, ...]]:
        """The deepest frost of each winter by cover."""
        return {
            cover: tuple(float(deepest) for deepest in frost.max(axis=0))
            for cover, frost in self.frost_m.items()
        }

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

    def days_of_warm_soil(self, cover: str, depth_m: float) -> list[int | None]:
        """Return the day of each season from which a pipe lies in warm soil.

        Parameters
        ----------
        cover : str
            Of the ground. [-]
        depth_m : float
            One of those asked for. [m]

        Returns
        -------
        list of int or None
            Days after 1 August: a week after the last day that was colder than
            `WARM_SOIL_K`; None where none was. [d]
        """
        at = self.depths_m.index(min(depth_m, _DEEPEST_M))
        cold = self.under_k[cover][::-1, :, at] <= WARM_SOIL_K
        return [
            None if back is None else GROUND_DAYS - 1 - back + WARM_DAYS
            for back in _first_days(cold)
        ]


def ground_seasons(
    series: DailySeries, covers: Sequence[str], depths_m: Sequence[float] = ()
) -> GroundSeasons | None:
    """Follow the ground through the winters of a record.

    Parameters
    ----------
    series : DailySeries
        A record, cleaned. [K]
    covers : sequence of str
        Covers of the ground that are asked for. [-]
    depths_m : sequence of float
        Depths at which the temperature is asked for. [m]

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
    depths = sorted({BOX_SOIL_M, *(min(depth, _DEEPEST_M) for depth in depths_m)})
    surface = np.hstack([surface_temperature(air_k, cover) for cover in wanted])
    ground = freeze_ground(surface, _start(series, mean_k), depths, soil=LOAM)
    count = air_k.shape[1]
    columns = {
        cover: slice(at * count, (at + 1) * count) for at, cover in enumerate(wanted)
    }
    return GroundSeasons(
        air_k,
        {cover: ground.frost_depth_m[:, at] for cover, at in columns.items()},
        {cover: ground.temperature_k[:, at] for cover, at in columns.items()},
        tuple(depths),
    )


def _winters(series: DailySeries, mean_k: Array) -> Array | None:
    """Lay winters with at most ten days missing side by side, gaps bridged."""
    years = complete_seasons(series, "fall")
    if years is None:
        return None
    kept = []
    for year in range(years[0], years[1] + 1):
        at = series.index(season_days(year, "fall")[0])
        winter = mean_k[max(at, 0) : at + GROUND_DAYS]
        known = np.isfinite(winter)
        if at < 0 or len(winter) < GROUND_DAYS or (~known).sum() > MOST_MISSING:
            continue
        days = np.arange(GROUND_DAYS)
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

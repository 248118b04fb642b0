"""What remains to be told of a record once its dates are worked out."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from maintenance.engine.climate.freeze_dates import freeze_dates
from maintenance.engine.climate.report import freeze_dates_warnings
from maintenance.engine.climate.series import Record
from maintenance.engine.figure import Warning


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordSummary:
    """A record in short: its station, its span, what to know before trusting it.

    ``station`` and ``station_name`` are empty where the file names none. ``seasons``
    counts those that speak for the dates above ground, ``rejected`` the values that
    could not be; ``warnings`` are those of its freeze dates.
    """

    station: str
    station_name: str
    elevation_m: float | None
    first: date
    last: date
    seasons: int
    rejected: int
    has_maxima: bool
    warnings: tuple[Warning, ...]


def record_summary(record: Record, threshold_k: float) -> RecordSummary:
    """Sum a record up.

    Parameters
    ----------
    record : Record
        A record that holds a whole season. [K]
    threshold_k : float
        The warmest at which a part above ground comes to harm. [K]

    Returns
    -------
    RecordSummary
        The summary. [SI]

    Raises
    ------
    InputError
        If the record holds no whole season.
    """
    series = record.series
    dates = freeze_dates(series, threshold_k)
    station = series.station
    return RecordSummary(
        station="" if station is None else station.id,
        station_name="" if station is None else station.name,
        elevation_m=None if station is None else station.elevation_m,
        first=series.first,
        last=series.last,
        seasons=dates.law.n,
        rejected=len(record.rejected),
        has_maxima=bool(np.isfinite(series.tmax_k).any()),
        warnings=freeze_dates_warnings(dates, record),
    )

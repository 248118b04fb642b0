"""A daily record as a value: one least and one greatest temperature for each day."""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final, Literal

import numpy as np

from maintenance.engine.climate.degrees import Array
from maintenance.engine.errors import InputError

Extreme = Literal["minimum", "maximum"]

MOST_OFFSET_K: Final = 15.0
"""A site that differs more from its station has the wrong one [K]; project choice."""


@dataclass(frozen=True, slots=True)
class Station:
    """Where a record comes from, as far as its file says."""

    id: str
    name: str = ""
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    elevation_m: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class DailySeries:
    """Daily temperatures from ``first`` on, day after day, NaN where unknown."""

    first: date
    tmin_k: Array
    tmax_k: Array
    station: Station | None = None

    @property
    def last(self) -> date:
        """The last day."""
        return self.day(len(self.tmin_k) - 1)

    def day(self, index: int) -> date:
        """Return the day at an index.

        Parameters
        ----------
        index : int
            Days after the first. [d]

        Returns
        -------
        date
            That day. [-]
        """
        return self.first + timedelta(days=index)

    def index(self, day: date) -> int:
        """Return the index of a day, which may lie outside the record.

        Parameters
        ----------
        day : date
            A day. [-]

        Returns
        -------
        int
            Days after the first, negative before it. [d]
        """
        return (day - self.first).days


@dataclass(frozen=True, slots=True)
class Rejected:
    """A value that counts as missing: its day, what stood there, and why.

    ``why`` goes on after the value, as in "is above the maximum of its day"; ``line``
    is its line in the file, None where there is none.
    """

    day: date
    of: Extreme
    value_k: float
    why: str
    line: int | None = None


@dataclass(frozen=True, slots=True)
class Record:
    """A series that was read and cleaned, with what was found on the way.

    ``repeated`` counts days that were given again with the same values; ``unit`` is a
    key of `RECORD_UNITS` and ``unit_from`` tells how it is known.
    """

    series: DailySeries
    format: str
    unit: str
    unit_from: str
    rejected: tuple[Rejected, ...] = ()
    repeated: int = 0


def with_offset(series: DailySeries, offset_k: float) -> DailySeries:
    """Shift all temperatures: what a person says of the site against the station.

    Parameters
    ----------
    series : DailySeries
        Record of the station. [K]
    offset_k : float
        Added to every temperature; negative in a hollow that is colder. [K]

    Returns
    -------
    DailySeries
        The record as it might have been at the site. [K]

    Raises
    ------
    InputError
        For an offset that is not possible.
    """
    check_offset(offset_k)
    return replace(
        series, tmin_k=series.tmin_k + offset_k, tmax_k=series.tmax_k + offset_k
    )


def check_offset(offset_k: float) -> None:
    """Refuse an offset that no site has.

    Parameters
    ----------
    offset_k : float
        What the person says of the site. [K]

    Returns
    -------
    None
        Nothing. [-]

    Raises
    ------
    InputError
        If it is no number within `MOST_OFFSET_K`.
    """
    if not abs(offset_k) <= MOST_OFFSET_K:
        raise InputError(
            f"No site differs by {offset_k:.3g} K ({1.8 * offset_k:.3g} °F) from its "
            f"station; write at most {MOST_OFFSET_K:g} K "
            f"({1.8 * MOST_OFFSET_K:g} °F) either way, or choose another station",
            input="offset",
            low=-MOST_OFFSET_K,
            high=MOST_OFFSET_K,
        )


def frozen(values: Array) -> Array:
    """Return an array that nobody can write to.

    Parameters
    ----------
    values : ndarray
        Temperatures. [K]

    Returns
    -------
    ndarray
        A copy, read-only. [K]
    """
    kept = np.array(values, dtype=np.float64)
    kept.setflags(write=False)
    return kept

"""Hours of a forecast as they are met in a file: times, units, what cannot be."""

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Final

import numpy as np

from maintenance.engine.climate.cleaning import COLDEST_DEGF, HOTTEST_DEGF
from maintenance.engine.climate.degrees import RECORD_UNITS, Array, degf_of
from maintenance.engine.climate.forecast import Forecast
from maintenance.engine.climate.series import frozen
from maintenance.exchange.weather.days import FIRST_YEAR, LAST_YEAR
from maintenance.exchange.weather.plain_text import LineFaults, refused

MOST_HOURS: Final = 16 * 24
"""Longer than this it is a record, not a forecast; project choice."""

FASTEST_WIND_M_PER_S: Final = 90.0
"""A wind beyond it is absurd [m/s]; project choice, a little under the record gust."""

MOST_REJECTED: Final = 0.2
"""With a larger share of its temperatures absurd, the file is wrong; choice."""

AIR, WIND, SKY = "temperature", "wind", "sky cover"
TO_K: Final = {
    "degF": RECORD_UNITS["degF"],
    "degC": RECORD_UNITS["degC"],
    "K": (1.0, 0.0),
}
TO_M_PER_S: Final = {
    "m_s-1": (1.0, 0.0),
    "km_h-1": (1.0 / 3.6, 0.0),
    "mi_h-1": (0.44704, 0.0),
    "kt": (1852.0 / 3600.0, 0.0),
}
TO_SHARE: Final = {"percent": (0.01, 0.0)}
FACTORS: Final[Mapping[str, Mapping[str, tuple[float, float]]]] = {
    AIR: TO_K,
    WIND: TO_M_PER_S,
    SKY: TO_SHARE,
}
"""Factor and offset of each unit that forecasts are written in; exact."""

_TIME: Final = re.compile(
    r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d(:\d\d(\.\d{1,9})?)?(Z|[+-]\d\d:?\d\d)", re.ASCII
)
_EPOCH: Final = datetime(1970, 1, 1, tzinfo=UTC)


def aware_time(text: str) -> datetime | None:
    """Read a time that names its offset from UTC.

    Parameters
    ----------
    text : str
        Such as ``2026-10-05T18:00-07:00`` or ``2026-10-06T01:00Z``. [-]

    Returns
    -------
    datetime or None
        Aware; None where it is no such time. [-]
    """
    if not _TIME.fullmatch(text):
        return None
    try:
        time = datetime.fromisoformat(text)
        # At the ends of the calendar an offset leads out of it.
        return time if FIRST_YEAR <= time.astimezone(UTC).year <= LAST_YEAR else None
    except (ValueError, OverflowError):
        return None


def hour_number(time: datetime) -> int:
    """Return the hour that a time lies in, counted in UTC from 1970.

    Parameters
    ----------
    time : datetime
        Aware. [-]

    Returns
    -------
    int
        Full hours. [h]
    """
    return (time - _EPOCH) // timedelta(hours=1)


@dataclass(slots=True)
class Hours:
    """Values as met, by hour, and what is wrong with the file."""

    faults: LineFaults = field(default_factory=LineFaults)
    rows: dict[str, dict[int, float]] = field(
        default_factory=lambda: {AIR: {}, WIND: {}, SKY: {}}
    )
    rejected: dict[str, list[str]] = field(
        default_factory=lambda: {AIR: [], WIND: [], SKY: []}
    )

    def put(
        self, of: str, hours: range, value: float | None, unit: str, path: str
    ) -> None:
        """Keep a value for some hours; None where the file says nothing."""
        taken = _NOTHING if value is None else self._possible(of, value, unit, path)
        row = self.rows[of]
        for hour in hours:
            before = row.get(hour, _NOTHING)
            if math.isnan(before):
                row[hour] = taken
            elif not math.isnan(taken) and before != taken:
                text = f"gives another {of} for an hour given before; keep one"
                self.faults.add_at(path, text)
                return

    def _possible(self, of: str, value: float, unit: str, path: str) -> float:
        factor, offset = FACTORS[of][unit]
        si = value * factor + offset
        if _may_be(of, si):
            return si
        self.rejected[of].append(f"{path}: {of} {value:g} {unit} cannot be.")
        return _NOTHING

    def forecast(self, issued_at: datetime | None, source: str) -> Forecast:
        """Return the forecast, or refuse the file with all its faults."""
        self.faults.refuse_any()
        air = self.rows[AIR]
        known = sum(not math.isnan(value) for value in air.values())
        bad = len(self.rejected[AIR])
        if bad > MOST_REJECTED * (known + bad):
            raise refused(
                f"has {bad:,} temperatures that cannot be, the first at "
                f"{self.rejected[AIR][0]} Look at its unit"
            )
        if not known:
            raise refused("knows no temperature for any hour; give another forecast")
        first, last = min(air), max(air)
        if last - first >= MOST_HOURS:
            raise refused(
                f"runs over {(last - first) // 24:,} days, so it is a record or two "
                f"files in one; a forecast has at most {MOST_HOURS // 24}"
            )
        return Forecast(
            begin=_EPOCH + timedelta(hours=first),
            temperature_k=self._row(AIR, first, last),
            wind_m_per_s=self._row(WIND, first, last),
            sky_cover=self._row(SKY, first, last),
            issued_at=None if issued_at is None else issued_at.astimezone(UTC),
            source=source,
            rejected=tuple(self._told()),
        )

    def _row(self, of: str, first: int, last: int) -> Array:
        row = self.rows[of]
        return frozen(
            np.array([row.get(hour, _NOTHING) for hour in range(first, last + 1)])
        )

    def _told(self) -> Iterator[str]:
        for texts in self.rejected.values():
            yield from texts


_NOTHING: Final = float("nan")


def _may_be(of: str, si: float) -> bool:
    if of == AIR:
        return COLDEST_DEGF <= float(degf_of(si)) <= HOTTEST_DEGF
    return 0.0 <= si <= (FASTEST_WIND_M_PER_S if of == WIND else 1.0)

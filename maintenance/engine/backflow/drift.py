"""Drift: where the readings of one assembly are heading, test after test.

A straight line through the readings since the last repair, with the median of the
slopes between all pairs (Theil 1950, Sen 1968), so that one odd reading does not turn
it. A line from few tests says little: each sentence tells how many, and that it is
carried on beyond them. It changes no verdict.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Final

from scipy.stats import theilslopes

from maintenance.engine.backflow.limits import BUFFER, Criteria, Limit
from maintenance.engine.backflow.readings import Device, Reading, reading_words

FEWEST: Final = 3
"""Tests of one assembly, on days of their own, below which no line is drawn."""
GAUGE_ACCURACY_PSID: Final = Decimal("0.2")
"""Accuracy on a calibration certificate, descending (a California utility's quick
reference for testers, studylib.net/doc/18789242)."""
_YEAR_DAYS: Final = 365.25
_FARTHEST_DAYS: Final = 36_525
_STEADY: Final = 0.005  # shown with two decimals
_FLOAT_ERROR: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class PastTest:
    """One set of readings; ``after_repair`` where a repair went before it.

    A test with readings before and after its repair gives two of these.
    """

    on: date
    serial: str
    readings: Mapping[str, Reading]
    after_repair: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """The line through one reading, or the buffer, and what it comes to [psid].

    ``at_next`` is the line at the next test, None where that day is unknown.
    ``meets_limit_on`` is the day on which a falling line crosses the limit.
    """

    key: str
    n: int
    first: date
    last: date
    slope_per_year: float
    latest: Decimal
    limit: Decimal
    at_next: float | None
    meets_limit_on: date | None
    warns: bool
    text: str


def trends(
    device: Device,
    tests: Sequence[PastTest],
    criteria: Criteria,
    next_due: date | None = None,
) -> tuple[Trend, ...]:
    """Find the trend of each pressure difference that has a limit.

    Parameters
    ----------
    device : str
        One of `DEVICES` [text].
    tests : sequence of PastTest
        All tests of the place, in any order; only those of the assembly that was
        tested last, since its last repair, count [psid].
    criteria : Criteria
        The limits [psid].
    next_due : date or None
        The day the next test is due [date].

    Returns
    -------
    tuple of Trend
        In the order of the limits; none where fewer than `FEWEST` tests count [psid].
    """
    series = _since_repair(tests)
    found = []
    for limit in criteria.of(device):
        if limit.use == "not used" or limit.unit != "psid":
            continue
        points = dict(_points(limit.key, series))
        if len(points) >= FEWEST:
            found.append(_trend(limit, points, next_due))
    return tuple(found)


def _since_repair(tests: Sequence[PastTest]) -> list[PastTest]:
    # Of two on one day the one after the repair is the later.
    ordered = sorted(tests, key=lambda test: (test.on, test.after_repair))
    serial = ordered[-1].serial.strip() if ordered else ""
    if not serial:
        return []
    series: list[PastTest] = []
    for test in ordered:
        if test.serial.strip() != serial:
            continue
        if test.after_repair:
            series = []
        series.append(test)
    return series


def _points(key: str, series: Sequence[PastTest]) -> Iterator[tuple[date, Decimal]]:
    for test in series:
        names = ("check_1", "relief") if key == BUFFER else (key,)
        values = [test.readings.get(name) for name in names]
        numbers = [value for value in values if isinstance(value, Decimal)]
        if len(numbers) == len(names):
            yield test.on, numbers[0] - sum(numbers[1:])


def _trend(
    limit: Limit, points: Mapping[date, Decimal], next_due: date | None
) -> Trend:
    days = sorted(points)
    first, last = days[0], days[-1]
    years = [(day - first).days / _YEAR_DAYS for day in days]
    line = theilslopes([float(points[day]) for day in days], years)
    slope, start = float(line.slope), float(line.intercept)
    bound = float(limit.number)
    ahead = None
    if next_due is not None and next_due > last:
        ahead = start + slope * (next_due - first).days / _YEAR_DAYS
    crossing = _crossing(first, start - bound, slope)
    trend = Trend(
        key=limit.key,
        n=len(days),
        first=first,
        last=last,
        slope_per_year=slope,
        latest=points[last],
        limit=limit.number,
        at_next=ahead,
        meets_limit_on=crossing if crossing and crossing > last else None,
        warns=_near(float(points[last]), bound)
        or (ahead is not None and _near(ahead, bound)),
        text="",
    )
    return replace(trend, text=_text(limit, trend, next_due))


def _near(value: float, bound: float) -> bool:
    """Whether a value lies below the limit, or above it by less than the gauge errs."""
    return value <= bound + float(GAUGE_ACCURACY_PSID) + _FLOAT_ERROR


def _crossing(first: date, above: float, slope: float) -> date | None:
    if slope >= 0.0 or above <= 0.0:
        return None
    days = above / -slope * _YEAR_DAYS
    return first + timedelta(days=int(days)) if days < _FARTHEST_DAYS else None


def _text(limit: Limit, trend: Trend, next_due: date | None) -> str:
    name = reading_words(limit.device, limit.key)
    parts = [
        (
            f"{name[0].upper()}{name[1:]}, {trend.n} tests since {trend.first}: "
            f"{_pace(trend.slope_per_year)}, last {trend.latest:f} psid, limit "
            f"{trend.limit:f} psid."
        )
    ]
    if trend.at_next is not None:
        parts.append(
            f"Carried on beyond these tests to the next one, due {next_due}, it would "
            f"{_outlook(trend, trend.at_next)}: an extrapolation, not a reading."
        )
    if _near(float(trend.latest), float(trend.limit)):
        parts.append(
            f"The last reading itself lies below the limit or within the "
            f"{GAUGE_ACCURACY_PSID} psid by which a gauge may err."
        )
    return " ".join(parts)


def _pace(slope: float) -> str:
    if abs(slope) < _STEADY:
        return "steady"
    return f"{'falling' if slope < 0 else 'rising'} {abs(slope):.2f} psid a year"


def _outlook(trend: Trend, ahead: float) -> str:
    bound = float(trend.limit)
    if ahead <= bound + _FLOAT_ERROR:
        day = trend.meets_limit_on
        return "meet its limit before then" + (f", about {day}" if day else "")
    if _near(ahead, bound):
        return f"lie within the {GAUGE_ACCURACY_PSID} psid by which a gauge may err"
    return f"read about {ahead:.1f} psid"

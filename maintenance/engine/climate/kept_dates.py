"""The dates of a site as a JSON object that can be kept, and back again exactly."""

import math
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, Final, get_args

from maintenance.engine.climate.ground_seasons import GROUND_DAYS
from maintenance.engine.climate.part_dates import (
    CHANCES,
    Numbers,
    PartDates,
    Reach,
    SiteDates,
)
from maintenance.engine.climate.record_summary import RecordSummary
from maintenance.engine.climate.series import MOST_OFFSET_K
from maintenance.engine.climate.usual_days import YEAR, UsualDays
from maintenance.engine.errors import InputError
from maintenance.engine.figure import Warning
from maintenance.engine.freezing.part_at_risk import Threshold

FORMAT: Final = "site_dates/1"
_LEAST_K, _MOST_K = 100.0, 400.0
_FURTHEST_DAY: Final = 1000.0


def dates_as_json(dates: SiteDates) -> dict[str, object]:
    """Return the dates of a site as an object to keep.

    Parameters
    ----------
    dates : SiteDates
        The dates. [SI]

    Returns
    -------
    dict
        Plain values, unrounded, the unit in the key. [-]
    """
    usual, record = dates.usual, dates.record
    return {
        "format": FORMAT,
        "dates": [_reach_as_json(*each) for each in dates.dates.items()],
        "last_freezes": list(dates.last_freezes),
        "soil_k": list(dates.soil_k),
        "deepest_m": {cover: list(depths) for cover, depths in dates.deepest_m.items()},
        "usual": usual and {"tmin_k": list(usual.tmin_k), "tmax_k": list(usual.tmax_k)},
        "record": {
            "station": record.station,
            "station_name": record.station_name,
            "elevation_m": record.elevation_m,
            "first": record.first.isoformat(),
            "last": record.last.isoformat(),
            "seasons": record.seasons,
            "rejected": record.rejected,
            "has_maxima": record.has_maxima,
            "warnings": [warning.as_json() for warning in record.warnings],
        },
        "offset_k": dates.offset_k,
    }


def dates_from_json(kept: object) -> SiteDates:
    """Read the dates of a site as they were kept.

    Parameters
    ----------
    kept : object
        What `dates_as_json` gave, as read from JSON. [-]

    Returns
    -------
    SiteDates
        The same dates. [SI]

    Raises
    ------
    InputError
        If anything is missing, of another kind or not possible.
    """
    try:
        return _site_dates(_object(kept))
    except (KeyError, TypeError, ValueError, OverflowError) as error:
        raise InputError(
            "The kept freeze dates of this site cannot be read "
            f"({_reason(error)}): work them out from the record again",
            input="dates",
        ) from error


def _reach_as_json(reach: Reach, dates: PartDates | None) -> dict[str, object]:
    return {
        "threshold_of": reach.threshold_of,
        "threshold_k": reach.threshold_k,
        "depth_m": reach.depth_m,
        "cover": reach.cover,
        "dates": dates
        and {
            "days": {str(chance): dates.days[chance] for chance in CHANCES},
            "errors": {str(chance): dates.errors[chance] for chance in CHANCES},
            "numbers": list(dates.numbers),
            "warm": list(dates.warm),
        },
    }


def _site_dates(kept: Mapping[str, Any]) -> SiteDates:
    if kept["format"] != FORMAT:
        raise ValueError(f"its format is not {FORMAT}")
    usual = kept["usual"]
    soil = _temperatures(kept["soil_k"])
    if len(soil) not in {0, GROUND_DAYS}:
        raise ValueError(f"soil_k has {len(soil)} days")
    return SiteDates(
        dates=dict(_reach(_object(each)) for each in _array(kept["dates"])),
        last_freezes=_numbers(kept["last_freezes"]),
        soil_k=soil,
        deepest_m={
            _text(cover): tuple(_within(0.0, 10.0)(each) for each in _array(depths))
            for cover, depths in _object(kept["deepest_m"]).items()
        },
        usual=None if usual is None else _usual(_object(usual)),
        record=_record(_object(kept["record"])),
        offset_k=_within(-MOST_OFFSET_K, MOST_OFFSET_K)(kept["offset_k"]),
    )


def _reach(kept: Mapping[str, Any]) -> tuple[Reach, PartDates | None]:
    threshold_of: Threshold = kept["threshold_of"]
    if threshold_of not in get_args(Threshold):
        raise ValueError("a threshold of something unknown")
    depth, cover, dates = kept["depth_m"], kept["cover"], kept["dates"]
    reach = Reach(
        threshold_of,
        _within(_LEAST_K, _MOST_K)(kept["threshold_k"]),
        None if depth is None else _within(-1.0, 100.0)(depth),
        None if cover is None else _text(cover),
    )
    return reach, None if dates is None else _part_dates(_object(dates))


def _part_dates(kept: Mapping[str, Any]) -> PartDates:
    day = _within(-_FURTHEST_DAY, _FURTHEST_DAY)

    def by_chance(values: Mapping[str, Any]) -> dict[int, float | None]:
        return {
            chance: None if (value := values[str(chance)]) is None else day(value)
            for chance in CHANCES
        }

    return PartDates(
        by_chance(_object(kept["days"])),
        by_chance(_object(kept["errors"])),
        _numbers(kept["numbers"]),
        _numbers(kept["warm"]),
    )


def _usual(kept: Mapping[str, Any]) -> UsualDays:
    tmin, tmax = _temperatures(kept["tmin_k"]), _temperatures(kept["tmax_k"])
    if not len(tmin) == len(tmax) == YEAR:
        raise ValueError(f"usual does not hold {YEAR} days")
    return UsualDays(tmin, tmax)


def _record(kept: Mapping[str, Any]) -> RecordSummary:
    elevation, maxima = kept["elevation_m"], kept["has_maxima"]
    if not isinstance(maxima, bool):
        raise TypeError("has_maxima is neither true nor false")
    return RecordSummary(
        station=_text(kept["station"]),
        station_name=_text(kept["station_name"]),
        elevation_m=None if elevation is None else _within(-1e4, 1e4)(elevation),
        first=date.fromisoformat(_text(kept["first"])),
        last=date.fromisoformat(_text(kept["last"])),
        seasons=_count(kept["seasons"]),
        rejected=_count(kept["rejected"]),
        has_maxima=maxima,
        warnings=tuple(
            Warning(
                _text(each["code"]),
                _text(each["text"]),
                tuple(_text(name) for name in _array(each["about"])),
            )
            for each in map(_object, _array(kept["warnings"]))
        ),
    )


def _object(value: object) -> Mapping[str, Any]:
    if not isinstance(value, dict):
        raise TypeError("an object is missing")
    return value


def _array(value: object) -> list[Any]:
    if not isinstance(value, list):
        raise TypeError("a list is missing")
    return value


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError("a text is missing")
    return value


def _count(value: object) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or value < 0:
        raise ValueError("a count is no whole number from 0 on")
    return value


def _within(low: float, high: float) -> Callable[[object], float]:
    def number(value: object) -> float:
        if not isinstance(value, int | float) or isinstance(value, bool):
            raise TypeError("a number is missing")
        if not (math.isfinite(value) and low <= value <= high):
            raise ValueError(f"{value:g} lies outside {low:g} to {high:g}")
        return float(value)

    return number


def _temperatures(values: object) -> tuple[float, ...]:
    return tuple(map(_within(_LEAST_K, _MOST_K), _array(values)))


def _numbers(values: object) -> Numbers:
    found: list[int | None] = []
    for value in _array(values):
        if value is not None and (
            not isinstance(value, int) or isinstance(value, bool)
        ):
            raise TypeError("the number of a day is no whole number")
        if value is not None and abs(value) > _FURTHEST_DAY:
            raise ValueError(f"{value} is the number of no day")
        found.append(value)
    return tuple(found)


def _reason(error: Exception) -> str:
    return f"{error} is missing" if isinstance(error, KeyError) else str(error)

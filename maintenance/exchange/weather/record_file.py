"""A file of daily temperatures: recognised by its content, read whole or refused."""

from dataclasses import dataclass, replace
from datetime import date
from typing import Final

import numpy as np

from maintenance.engine.climate.cleaning import clean
from maintenance.engine.climate.degrees import RECORD_UNITS
from maintenance.engine.climate.series import (
    DailySeries,
    Record,
    Rejected,
    Station,
    frozen,
)
from maintenance.exchange.weather.csv_series import CsvHead, read_csv
from maintenance.exchange.weather.dly import looks_like_dly, read_dly
from maintenance.exchange.weather.plain_text import plain_text, refused
from maintenance.exchange.weather.readings import DailyValues, Readings, day_by_day
from maintenance.exchange.weather.unit_by_size import unit_by_size

UNITS: Final = tuple(RECORD_UNITS)
UNIT_WORDS: Final = {"degF": "°F", "degC": "°C", "tenths_degC": "tenths of °C"}


@dataclass(frozen=True, slots=True)
class _Told:
    """What a file says of itself; units of minima and maxima."""

    format: str
    units: tuple[str, str]
    unit_from: str
    station: Station | None


def read_record(content: str | bytes, unit: str | None = None) -> Record:
    """Read a file of daily temperatures.

    Parameters
    ----------
    content : str or bytes
        Content of the file. [-]
    unit : str, optional
        Unit of its numbers, where the file names none. [-]

    Returns
    -------
    Record
        Its series, cleaned, with everything that was rejected. [K]

    Raises
    ------
    Faults
        With everything that is wrong, each with its line; nothing is read in part.
        Also where the unit is neither said nor told by the size of the numbers.
    """
    text = plain_text(content)
    least, most = Readings("minimum"), Readings("maximum")
    if looks_like_dly(text.lstrip()):
        told = _told_by_dly(text, least, most, unit)
    else:
        told = _told_by_csv(read_csv(text, least, most), least, most, unit)
    minima = day_by_day(least, told.units[0])
    maxima = None
    if np.isfinite(np.array(most.values)).any():
        maxima = day_by_day(most, told.units[1])
    return _record(told, minima, maxima)


def _told_by_dly(text: str, least: Readings, most: Readings, unit: str | None) -> _Told:
    own = "tenths_degC"
    if unit not in (None, own):
        raise refused("is a .dly file, always in tenths of °C; leave --unit out")
    station = read_dly(text, least, most)
    if not least.days:
        raise refused("holds no daily minimum (TMIN); give one that does")
    return _Told(
        "GHCN-Daily .dly",
        (own, own),
        "in tenths of °C, as this format always is",
        Station(station),
    )


def _told_by_csv(
    head: CsvHead, least: Readings, most: Readings, unit: str | None
) -> _Told:
    columns = head.columns
    name = "daily-summaries CSV" if columns.of_archive else "CSV"
    if columns.unit:
        if unit not in (None, columns.unit):
            raise refused(
                f"names {UNIT_WORDS[columns.unit]} in its header; leave --unit out, or "
                "mend the header"
            )
        words = f"in {UNIT_WORDS[columns.unit]}, as its header says"
        units = (columns.unit, columns.tmax_unit)
        return _Told(name, units, words, head.station)
    how = "as you said"
    if unit is None:
        unit = unit_by_size(
            least.in_order(), most.in_order(), whole_if_degf=columns.of_archive
        )
        how = "as the size of its numbers tells; say --unit if that is wrong"
    if unit is None:
        raise refused(
            "does not say whether its temperatures are °F or °C, and their size does "
            f"not tell; name the unit with --unit {UNITS[0]}, {UNITS[1]} or {UNITS[2]}"
        )
    return _Told(name, (unit, unit), f"in {UNIT_WORDS[unit]}, {how}", head.station)


def _record(told: _Told, minima: DailyValues, maxima: DailyValues | None) -> Record:
    tmax_k = np.full(len(minima.values_k), np.nan)
    tmax_lines = np.zeros(len(tmax_k), dtype=np.int64)
    rejected = list(minima.rejected)
    if maxima is not None:
        rejected += maxima.rejected
        begin, end = maxima.first, maxima.first + len(maxima.values_k)
        days = np.arange(minima.first, minima.first + len(tmax_k))
        both = (days >= begin) & (days < end)
        tmax_k[both] = maxima.values_k[days[both] - begin]
        tmax_lines[both] = maxima.lines[days[both] - begin]
    series = DailySeries(
        date.fromordinal(minima.first),
        frozen(minima.values_k),
        frozen(tmax_k),
        told.station,
    )
    cleaned, absurd = clean(series)
    lines = {"minimum": minima.lines, "maximum": tmax_lines}
    rejected += [
        replace(each, line=int(lines[each.of][series.index(each.day)]))
        for each in absurd
    ]
    return Record(
        series=cleaned,
        format=told.format,
        unit=told.units[0],
        unit_from=told.unit_from,
        rejected=tuple(sorted(rejected, key=_by_day)),
        repeated=minima.repeated,
    )


def _by_day(rejected: Rejected) -> tuple[date, int]:
    return rejected.day, rejected.line or 0

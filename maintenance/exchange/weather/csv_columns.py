"""Which column of a CSV file holds what, and in which unit."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from maintenance.exchange.weather.plain_text import quoted, refused

UNIT_ENDINGS: Final = {"_f": "degF", "_c": "degC", "": ""}
PLACE_COLUMNS: Final = ("station", "name", "latitude", "longitude", "elevation")
EXAMPLE: Final = 'write a header such as "date,tmin_f" or "date,tmin_c,tmax_c"'


@dataclass(frozen=True, slots=True)
class Columns:
    """Where the cells stand; units are empty where the header names none.

    ``flags`` are the columns of attributes that the archive puts beside its values.
    """

    width: int
    date: int
    tmin: int
    tmax: int | None
    unit: str
    tmax_unit: str
    flags: tuple[int | None, int | None]
    place: dict[str, int]

    @property
    def of_archive(self) -> bool:
        """Whether the file has the columns of the daily summaries."""
        return "station" in self.place or self.flags != (None, None)


def find_columns(header: Sequence[str]) -> Columns:
    """Find the columns of a header.

    Parameters
    ----------
    header : sequence of str
        Its cells. [-]

    Returns
    -------
    Columns
        Where the cells stand. [-]

    Raises
    ------
    Faults
        If the date or the minimum is missing, or is there twice.
    """
    names = [cell.strip().casefold() for cell in header]
    if "date" not in names:
        raise refused(_no_date(header, names))
    where = {name: index for index, name in enumerate(names)}
    wanted = {"date", *PLACE_COLUMNS}
    wanted |= {f"{kind}{end}" for kind in ("tmin", "tmax") for end in UNIT_ENDINGS}
    for name in wanted:
        if names.count(name) > 1:
            raise refused(f"has two columns {quoted(name)}; keep one")
    tmin, unit = _temperature(where, "tmin")
    tmax, tmax_unit = _temperature(where, "tmax")
    if tmin is None:
        raise refused(f"has no column of daily minima; {EXAMPLE}")
    if tmax is not None and bool(unit) != bool(tmax_unit):
        bare = "tmax" if unit else "tmin"
        raise refused(f"names no unit in its column {bare}; write {bare}_f or {bare}_c")
    return Columns(
        width=len(names),
        date=where["date"],
        tmin=tmin,
        tmax=tmax,
        unit=unit,
        tmax_unit=tmax_unit,
        flags=(where.get("tmin_attributes"), where.get("tmax_attributes")),
        place={name: where[name] for name in PLACE_COLUMNS if name in where},
    )


def _temperature(where: dict[str, int], kind: str) -> tuple[int | None, str]:
    found = [
        (where[f"{kind}{end}"], unit)
        for end, unit in UNIT_ENDINGS.items()
        if f"{kind}{end}" in where
    ]
    if len(found) > 1:
        raise refused(f"has more than one column of {kind}; keep one of them")
    return found[0] if found else (None, "")


def _no_date(header: Sequence[str], names: Sequence[str]) -> str:
    first = quoted(",".join(header))
    if len(names) == 1 and any(mark in names[0] for mark in (";", "\t")):
        mark = "semicolons" if ";" in names[0] else "tabs"
        return f"separates its cells by {mark}; save it with commas"
    if {"time", "datetime", "timestamp", "dt"} & set(names):
        return (
            "has a column of times and none of dates, as hourly records have; give a "
            "series with one minimum for each day"
        )
    return (
        f"is no daily series that the tool knows: it begins with {first}; give a CSV "
        "with a column date, a .dly file or a daily-summaries CSV"
    )

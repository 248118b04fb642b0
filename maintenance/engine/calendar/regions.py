"""Public holidays of a region, as the library ``holidays`` knows them.

Observed days count: where 4 July falls on a Sunday, Monday 5 July is free in the
United States. What an authority itself takes off may differ; then its dates are given
as a list.
"""

import re
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Final

from maintenance.engine.calendar.business_days import Holidays
from maintenance.engine.errors import InputError

_REGION: Final = re.compile(r"([A-Z]{2})(?:-([A-Z0-9]{1,3}))?")
_SOURCE: Final = "write dates like 2025-05-26 or a region like US-CO, with commas"


@dataclass(frozen=True, slots=True)
class _Region:
    """The holidays of a region; each year is worked out when first asked for."""

    country: str
    part: str | None

    def __contains__(self, day: object) -> bool:
        return isinstance(day, date) and day in _of_year(
            self.country, self.part, day.year
        )


@dataclass(frozen=True, slots=True)
class _Several:
    """Holidays of several regions and single dates."""

    dates: frozenset[date]
    regions: tuple[Holidays, ...]

    def __contains__(self, day: object) -> bool:
        return day in self.dates or any(day in region for region in self.regions)


def region_holidays(region: str) -> Holidays:
    """Return the public holidays of a country or of a part of it.

    Parameters
    ----------
    region : str
        ISO 3166 code: ``US``, ``US-CO``, ``CA-AB`` [text].

    Returns
    -------
    container of date
        Answers for any year that the library knows [dates].

    Raises
    ------
    InputError
        If there is no such region.

    Examples
    --------
    >>> date(2025, 7, 1) in region_holidays("CA-AB")
    True
    """
    plain = region.strip().upper()
    match = _REGION.fullmatch(plain)
    found = _Region(match[1], match[2]) if match else None
    if found is None or not _is_known(found):
        raise InputError(
            f'holidays: "{region.strip()[:40]}" is no region that is known; {_SOURCE}',
            input="holidays",
        )
    return found


def read_holidays(text: str) -> Holidays:
    """Read a list of holidays.

    Parameters
    ----------
    text : str
        Dates and regions with commas between: ``2025-05-26, US-CO`` [text].

    Returns
    -------
    container of date
        All of them together; an empty text gives none [dates].

    Raises
    ------
    InputError
        For an entry that is neither a date nor a known region.

    Examples
    --------
    >>> date(2025, 5, 26) in read_holidays("2025-05-26, 2025-07-04")
    True
    """
    dates: set[date] = set()
    regions: list[Holidays] = []
    for entry in text.split(","):
        plain = entry.strip()
        if not plain:
            continue
        if plain[0].isdigit():
            dates.add(_date(plain))
        else:
            regions.append(region_holidays(plain))
    return _Several(frozenset(dates), tuple(regions)) if regions else frozenset(dates)


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise InputError(
            f'holidays: "{text[:40]}" is no date; {_SOURCE}', input="holidays"
        ) from error


def _is_known(region: _Region) -> bool:
    try:
        _of_year(region.country, region.part, 2025)
    except NotImplementedError:
        return False
    return True


@cache
def _of_year(country: str, part: str | None, year: int) -> frozenset[date]:
    # Imported when first needed: the library is large and most answers need none.
    from holidays import country_holidays  # noqa: PLC0415

    return frozenset(country_holidays(country, subdiv=part, years=year))

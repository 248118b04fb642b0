"""Freeze dates as the contract's JSON object, and what to warn of."""

from collections.abc import Callable, Iterator
from typing import Final

from maintenance.engine.climate.completeness import completeness
from maintenance.engine.climate.freeze_dates import CHANCES, Days, FreezeDates
from maintenance.engine.climate.seasons import month_day
from maintenance.engine.climate.series import Record, Rejected
from maintenance.engine.figure import Figure, Warning
from maintenance.engine.units import display

FEW_SEASONS: Final = 15
"""With fewer the error stated is itself a guess; project choice."""

FAR_DAYS: Final = 5.0
"""Law and ranks further apart than this are worth a look."""

MANY_REJECTED: Final = 0.02
"""A larger share of rejected values points at a wrong unit; project choice."""

METHOD: Final = (
    "Season 1 August to 31 July; first (fall) or last (spring) day at or below the "
    "threshold; share of seasons with a freeze times a normal law (n - 1) of their "
    "day numbers; a season is left out where more than ten days are missing before "
    "the first freeze (after the last)"
)
SOURCES: Final = (
    (
        "NOAA, Climatography of the United States No. 20, Supplement 1 (1971-2000): "
        "thresholds, chances and wording, seen in a secondary copy; the rules were "
        "rebuilt from its printed dates"
    ),
    "Standard error of a normal quantile: s √((1 + z²/2)/n)",
)


def freeze_dates_as_json(found: FreezeDates, record: Record) -> dict[str, object]:
    """Return the object of ``freeze_dates --json``, format ``freeze_dates/1``.

    Parameters
    ----------
    found : FreezeDates
        The dates. [d]
    record : Record
        What they were worked out from. [K]

    Returns
    -------
    dict
        SI numbers, unrounded, the unit in the key; dates as ``MM-DD``. [-]
    """

    def date_at(days: Days) -> Callable[[int], str | None]:
        def written(chance: int) -> str | None:
            number = days[chance]
            return None if number is None else month_day(number, found.season)

        return written

    return {
        "format": "freeze_dates/1",
        "threshold_k": found.threshold_k,
        "season": found.season,
        "years": list(found.years),
        "n": found.law.n,
        "n_with": found.law.n_with,
        "mean_day": found.law.mean_day,
        "sd_day": found.law.sd_day,
        "dates": _by_chance(date_at(found.days)),
        "empirical": _by_chance(date_at(found.ranked_days)),
        "standard_error_days": _by_chance(
            lambda c: found.standard_errors[c] if date_at(found.days)(c) else None
        ),
        "events": [
            {
                "season": event.season,
                "date": None if event.day is None else event.day.isoformat(),
                "valid": event.valid,
                "why": event.why,
            }
            for event in found.events
        ],
        "rejected": [
            {
                "date": each.day.isoformat(),
                "value_k": each.value_k,
                "why": why_rejected(each),
            }
            for each in record.rejected
        ],
        "figures": {"mean_day": mean_day_figure(found, record).as_json()},
        "warnings": [each.as_json() for each in freeze_dates_warnings(found, record)],
    }


def why_rejected(rejected: Rejected) -> str:
    """Say why a value was rejected, and where it stands.

    Parameters
    ----------
    rejected : Rejected
        The value. [K]

    Returns
    -------
    str
        Which value, the reason and the line. [-]
    """
    where = "" if rejected.line is None else f" (line {rejected.line})"
    value = display(rejected.value_k, "temperature", digits=0)
    return f"{rejected.of} of {value} {rejected.why}{where}"


def mean_day_figure(found: FreezeDates, record: Record) -> Figure:
    """Return the mean day with its method and sources.

    Parameters
    ----------
    found : FreezeDates
        The dates. [d]
    record : Record
        What they were worked out from. [K]

    Returns
    -------
    Figure
        The mean day number. [d]
    """
    compared = (
        "temperatures compared as recorded"
        if found.exact
        else "temperatures rounded half up to whole °F before comparing"
    )
    return Figure(
        value=found.law.mean_day,
        dimension="number",
        method=METHOD,
        sources=SOURCES,
        assumptions=(
            compared,
            f"read as {record.format}, {record.unit_from}",
            "past seasons speak for the next one; no trend is taken out",
        ),
        in_range=found.law.n_with > 1,
        missing="no freeze in these seasons",
    )


def freeze_dates_warnings(found: FreezeDates, record: Record) -> tuple[Warning, ...]:
    """List what a person should know before trusting the dates.

    Parameters
    ----------
    found : FreezeDates
        The dates. [d]
    record : Record
        What they were worked out from. [K]

    Returns
    -------
    tuple of Warning
        Codes and sentences. [-]
    """
    return (*_of_the_record(record), *_of_the_dates(found))


def _of_the_record(record: Record) -> Iterator[Warning]:
    whole = completeness(record.series)
    if whole.missing:
        longest = whole.longest_gaps[0]
        yield Warning(
            "missing_days",
            f"{whole.missing:,} of {whole.missing + whole.known:,} days have no minimum; "
            f"the longest gap is {longest.days} days from {longest.first}.",
        )
    if len(record.rejected) > MANY_REJECTED * (whole.known + len(record.rejected)):
        yield Warning(
            "many_rejected",
            f"{len(record.rejected):,} values were rejected: look whether the unit "
            f"({record.unit_from}) is right.",
        )


def _of_the_dates(found: FreezeDates) -> Iterator[Warning]:
    if found.left_out:
        years = tuple(str(event.season) for event in found.left_out)
        yield Warning(
            "seasons_left_out",
            f"Seasons left out for missing days: {len(years)} of {len(found.events)}.",
            years,
        )
    if found.law.n < FEW_SEASONS:
        yield Warning(
            "few_seasons",
            f"Only {found.law.n} seasons: a record of 30 is the custom, so take these "
            "dates as a hint.",
        )
    apart = [
        chance
        for chance in CHANCES
        if (law := found.days[chance]) is not None
        and (ranks := found.ranked_days[chance]) is not None
        and abs(law - ranks) > FAR_DAYS
    ]
    if apart:
        listed = ", ".join(f"{chance} %" for chance in apart)
        yield Warning(
            "law_and_ranks_differ",
            f"At {listed} the fitted date and that by rank lie more than "
            f"{FAR_DAYS:.0f} days apart: look at both.",
        )


def _by_chance(value: Callable[[int], object]) -> dict[str, object]:
    return {str(chance): value(chance) for chance in CHANCES}

"""First or last freezes, as plain text for a terminal."""

import math
from collections.abc import Iterator
from datetime import date
from typing import Final

from maintenance.documents.text_blocks import columns, listed
from maintenance.engine.climate.completeness import completeness
from maintenance.engine.climate.freeze_dates import CHANCES, FreezeDates
from maintenance.engine.climate.report import (
    freeze_dates_warnings,
    mean_day_figure,
    why_rejected,
)
from maintenance.engine.climate.seasons import Season, month_day
from maintenance.engine.climate.series import Record
from maintenance.engine.units import UnitSystem, display

MOST_LISTED: Final = 12
NINE_IN_TEN: Final = 1.645
"""Standard errors on either side that hold nine of ten."""

WORDS: Final = {
    "fall": ("First freeze of autumn", "before"),
    "spring": ("Last freeze of spring", "after"),
}


def freeze_dates_text(
    found: FreezeDates, record: Record, name: str, system: UnitSystem = "us"
) -> str:
    """Write the answer first, then the dates, what was seen, and the doubts."""
    blocks = [
        _heading(found, name, system),
        _answer(found),
        _dates(found),
        _seen(found),
        _record(record),
        listed("Look at", (w.text for w in freeze_dates_warnings(found, record))),
        listed("Left out", _left_out(found)),
        listed("Rejected, and so missing", _rejected(record)),
        _method(found, record),
    ]
    return "\n\n".join(block for block in blocks if block)


def day_and_month(number: float | None, season: Season) -> str:
    """Write the number of a day as ``26 Sep``, a dash where there is none."""
    written = None if number is None else month_day(number, season)
    if written is None:
        return "-"
    month, day = map(int, written.split("-"))
    return f"{day} {date(2001, month, day):%b}"


def _heading(found: FreezeDates, name: str, system: UnitSystem) -> str:
    threshold = display(found.threshold_k, "temperature", system, digits=_digits(found))
    title = WORDS[found.season][0]
    first, last = found.years
    return f"{title}, {threshold} or colder: {name}, seasons {first} to {last}"


def _digits(found: FreezeDates) -> int:
    degf = found.threshold_k * 1.8 - 459.67
    return 0 if abs(degf - round(degf)) < 1e-6 else 1


def _answer(found: FreezeDates) -> str:
    law = found.law
    if not law.n:
        return "No season has enough days: no date can be given."
    if not law.n_with:
        return f"None of {law.n} seasons had such a freeze: no date can be given."
    side = WORDS[found.season][1]
    parts = [
        f"{side} {day_and_month(found.days[chance], found.season)} in {often}"
        f"{_give_or_take(found, chance)}"
        for chance, often in (
            (10, "one year of ten"),
            (50, "one of two"),
            (90, "nine of ten"),
        )
        if day_and_month(found.days[chance], found.season) != "-"
    ]
    seasons = f"{law.n_with} of {law.n} seasons had such a freeze"
    if not parts:
        return f"{seasons}: too few for a date."
    return f"It comes {', '.join(parts)}. {seasons}."


def _give_or_take(found: FreezeDates, chance: int) -> str:
    error = found.standard_errors[chance]
    return "" if error is None else f" (± {_error_days(error)} days)"


def _error_days(error_days: float) -> int:
    return math.ceil(NINE_IN_TEN * error_days - 1e-9)


def _dates(found: FreezeDates) -> str:
    if not found.law.n_with:
        return ""
    side = WORDS[found.season][1]
    lines = [(f"Chance that it comes {side}", "date", "±, 9 in 10", "by rank")]
    for chance in CHANCES:
        error = found.standard_errors[chance]
        fitted = day_and_month(found.days[chance], found.season)
        lines.append(
            (
                f"{chance} %",
                fitted,
                "-" if error is None or fitted == "-" else f"{_error_days(error)} days",
                day_and_month(found.ranked_days[chance], found.season),
            )
        )
    return columns(lines)


def _seen(found: FreezeDates) -> str:
    seen = [
        (event.number, event.day) for event in found.events if event.number is not None
    ]
    if not seen:
        return ""
    (_, early), (_, late) = min(seen), max(seen)
    return f"Seen: earliest {early}, latest {late}."


def _record(record: Record) -> str:
    whole = completeness(record.series)
    lines = [
        f"{record.format}, {record.unit_from}",
        (
            f"{whole.first} to {whole.last}: {whole.known:,} days with a minimum, "
            f"{whole.missing:,} without"
        ),
    ]
    if record.repeated:
        lines.append(f"{record.repeated:,} days given twice alike, counted once")
    lines += [
        f"no minimum for {gap.days} days from {gap.first}"
        for gap in whole.longest_gaps[:3]
    ]
    return listed("The record", lines)


def _left_out(found: FreezeDates) -> Iterator[str]:
    for event in found.left_out[:MOST_LISTED]:
        yield f"{event.season}: {event.why}"
    if len(found.left_out) > MOST_LISTED:
        yield f"and {len(found.left_out) - MOST_LISTED} more"


def _rejected(record: Record) -> Iterator[str]:
    for each in record.rejected[:MOST_LISTED]:
        yield f"{each.day}: {why_rejected(each)}"
    if len(record.rejected) > MOST_LISTED:
        yield f"and {len(record.rejected) - MOST_LISTED:,} more (all are in --json)"


def _method(found: FreezeDates, record: Record) -> str:
    figure = mean_day_figure(found, record)
    return listed(
        "How it was worked out",
        (
            f"{figure.method}.",
            f"Source: {'; '.join(figure.sources)}.",
            f"Assumed: {'; '.join(figure.assumptions)}.",
        ),
    )

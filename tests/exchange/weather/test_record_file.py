"""Weather files: recognised by content, read as they say, flags and doubles looked at."""

from datetime import date

import numpy as np
import pytest

from maintenance.engine.climate.series import Record, Station
from maintenance.engine.site.faults import Faults
from maintenance.exchange.weather.record_file import read_record
from tests.exchange.weather.weather_files import (
    STATION,
    WRITERS,
    Day,
    dly,
    plain_csv,
    shown,
    some_days,
    summaries_csv,
)


def minima_degc(record: Record) -> dict[date, float]:
    """Return the known minima by day."""
    return {
        record.series.day(index): round(float(value) - 273.15, 6)
        for index, value in enumerate(record.series.tmin_k)
        if np.isfinite(value)
    }


def as_written(days: list[Day]) -> dict[date, float]:
    return {d.day: d.tmin / 10 for d in days if d.tmin is not None}


@pytest.mark.parametrize("name", WRITERS)
def test_every_format_gives_the_same_days(name):
    days = some_days()
    record = read_record(WRITERS[name](days))
    assert minima_degc(record) == as_written(days)
    assert record.rejected == ()
    known = np.isfinite(record.series.tmax_k)
    assert float(record.series.tmax_k[known][0]) == pytest.approx(
        (days[0].tmax or 0) / 10 + 273.15
    )


@pytest.mark.parametrize("name", WRITERS)
def test_the_ends_of_lines_the_order_and_the_mark_at_the_front_do_not_matter(name):
    text = WRITERS[name](some_days(400))
    expected = minima_degc(read_record(text))
    first, *rest = text.splitlines()
    lines = [first, *reversed(rest)] if name != "dly" else [*reversed(rest), first]
    for other in (
        text.replace("\n", "\r\n"),
        "\ufeff" + text,
        "\n\n" + text.replace("\n", "\n\n"),
        "\n".join(lines),
        text.encode("utf-8"),
    ):
        assert minima_degc(read_record(other)) == expected


@pytest.mark.parametrize("unit", ["degF", "degC", "tenths_degC"])
def test_the_unit_of_the_archive_is_told_by_the_size_of_the_numbers(unit):
    days = some_days()
    record = read_record(summaries_csv(days, unit))
    assert record.unit == unit
    assert "as the size of its numbers tells" in record.unit_from
    worst = max(
        abs(found - as_written(days)[day]) for day, found in minima_degc(record).items()
    )
    assert worst <= (0.28 if unit == "degF" else 1e-6)


def test_where_both_units_fit_the_file_is_refused_and_the_option_named():
    winter = [
        Day(d.day, d.tmin and 10 * round(d.tmin / 10), None) for d in some_days(60)
    ]
    text = "\n".join(
        ["date,tmin", *(f"{d.day},{shown(d.tmin, 'degC')[:-2]}" for d in winter)]
    )
    with pytest.raises(Faults, match="--unit degF, degC or tenths_degC") as refusal:
        read_record(text)
    assert len(str(refusal.value).splitlines()) == 1
    assert read_record(text, "degC").unit == "degC"
    cold, warm = (read_record(text, unit).series.tmin_k for unit in ("degF", "degC"))
    assert np.nanmean(cold) < np.nanmean(warm)


@pytest.mark.parametrize(
    ("text", "unit", "sentence"),
    [
        (plain_csv(some_days(50)), "degF", "names °C in its header; leave --unit out"),
        (dly(some_days(50)), "degC", "always in tenths of °C; leave --unit out"),
    ],
)
def test_a_unit_that_the_file_contradicts_is_refused(text, unit, sentence):
    with pytest.raises(Faults, match=sentence):
        read_record(text, unit)


def test_the_station_is_kept_as_the_file_gives_it():
    days = some_days(400)
    assert read_record(dly(days)).series.station == Station(STATION)
    assert read_record(plain_csv(days)).series.station is None
    assert read_record(summaries_csv(days)).series.station == Station(
        STATION, "CHAMPION, NE US", 40.40, -101.73, 1072.0
    )


def test_a_value_that_the_archive_flagged_is_rejected_with_its_line():
    days = some_days(400)
    flagged = next(d for d in days[40:] if d.tmin is not None)
    for text in (
        dly(days, {flagged.day: "I"}),
        summaries_csv(days).replace(
            f'"{shown(flagged.tmin, "degC")}",",,7,0700"\n',
            f'"{shown(flagged.tmin, "degC")}",",I,7,0700"\n',
        ),
    ):
        record = read_record(text)
        assert flagged.day not in minima_degc(record)
        rejected = {each.day: each for each in record.rejected}[flagged.day]
        assert "flag I" in rejected.why
        assert f"{flagged.day:%Y}" in text.splitlines()[(rejected.line or 0) - 1]


def test_a_day_given_twice_alike_counts_once_and_given_differently_not_at_all():
    days = some_days(400)
    lines = plain_csv(days).splitlines()
    alike, other = lines[50], lines[60]
    day, low, high = other.split(",")
    record = read_record("\n".join([*lines, alike, f"{day},{float(low) - 1},{high}"]))
    assert record.repeated == 1
    told = [(each.day.isoformat(), each.line) for each in record.rejected]
    assert told == [(day, 61), (day, len(lines) + 2)]
    expected = as_written(days)
    del expected[date.fromisoformat(day)]
    assert minima_degc(record) == expected


def test_a_missing_day_is_inserted_and_a_blank_or_the_mark_of_the_archive_is_missing():
    text = summaries_csv(some_days(400))
    lines = text.splitlines()
    for line, unknown in ((40, '"-9999"'), (50, '""')):
        lines[line] = lines[line].replace(lines[line].split(",")[-5], unknown)
    del lines[30]
    record = read_record("\n".join(lines))
    whole = read_record(text)
    assert len(record.series.tmin_k) == len(whole.series.tmin_k)
    gone = set(minima_degc(whole)) - set(minima_degc(record))
    assert [(day - whole.series.first).days for day in sorted(gone)] == [29, 39, 49]


def test_absurd_values_carry_the_line_they_stand_on():
    lines = plain_csv(some_days(400), "degF").splitlines()
    day = lines[120].split(",")[0]
    lines[120] = f"{day},-72,70"
    record = read_record("\n".join(lines))
    assert [(e.day.isoformat(), e.line, e.of) for e in record.rejected] == [
        (day, 121, "minimum")
    ]

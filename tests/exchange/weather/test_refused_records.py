"""What is no daily series, or not wholly one, is refused: which line, and the mend."""

import gzip

import pytest

from maintenance.engine.site.faults import Faults
from maintenance.exchange.weather.record_file import read_record
from tests.exchange.weather.weather_files import (
    dly,
    plain_csv,
    some_days,
    summaries_csv,
)
from tests.reference.climate_records import FOLDER

PLAIN = plain_csv(some_days(40))


def refusal(content):
    with pytest.raises(Faults) as error:
        read_record(content)
    return error.value.faults


def changed(text: str, line: int, new: str) -> str:
    lines = text.splitlines()
    lines[line - 1] = new
    return "\n".join(lines)


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "is empty"),
        (" \n \n", "is empty"),
        (gzip.compress(PLAIN.encode()), "is packed; unpack it first"),
        ('{"format": "irrigation-site/1"}', "is no daily series that the tool knows"),
        ("date;tmin_c\n2001-01-01;1\n", "by semicolons; save it with commas"),
        ("date\ttmin_c\n2001-01-01\t1\n", "by tabs; save it with commas"),
        ("date,tavg_c\n2001-01-01,1\n", "has no column of daily minima"),
        ("date,tmin_c,tmin_f\n2001-01-01,1,34\n", "more than one column of tmin"),
        ("date,tmin_c,date\n2001-01-01,1,2001-01-01\n", 'two columns "date"'),
        ("date,tmin_c,tmax\n2001-01-01,1,5\n", "names no unit in its column tmax"),
        ("date,tmin_c\n", "has a header and no days"),
        ("date,tmin_c\n2001-01-01,\n", "holds no daily minimum"),
        ("date,tmin\n2001-01-01,30\n", "name the unit with --unit"),
        (dly(some_days(40)).replace("TMIN", "SNOW"), "holds no daily minimum"),
    ],
)
def test_a_file_that_is_no_series_is_refused_in_one_sentence(content, sentence):
    (fault,) = refusal(content)
    assert fault.path == "file"
    assert sentence in fault.text


def test_an_hourly_record_is_told_from_a_daily_one():
    hourly = (FOLDER / "illinois_hourly.csv").read_text("utf-8")
    (fault,) = refusal(hourly)
    assert "as hourly records have" in fault.text
    rows = [row.split(",") for row in hourly.splitlines()[1:]]
    by_day = "\n".join(["date,tmin_f", *(f"{time[:10]},{t}" for time, t in rows)])
    (fault,) = refusal(by_day)
    assert "it seems to be hourly or of more than one station" in fault.text


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ("2001-02-30,1.0,2.0", '"2001-02-30" is no day'),
        ("1/12/2001,1.0,2.0", "write one like 2012-01-31"),
        ("20010301,1.0,2.0", '"20010301" is no day'),
        ("9012-03-01,1.0,2.0", '"9012-03-01" is no day'),
        ("2001-03-07,warm,2.0", '"warm" is no temperature'),
        ("2001-03-07,nan,2.0", '"nan" is no temperature'),
        ("2001-03-07,inf,2.0", '"inf" is no temperature'),
        ("2001-03-07,1_0,2.0", '"1_0" is no temperature'),
        ("2001-03-07,１２,2.0", "is no temperature"),
        (f"2001-03-07,{'9' * 5000},2.0", "is no temperature"),
        ("2001-03-07,1.0", "has 2 cells where the header has 3"),
        ("2001-03-07,1,0,2,0", "has 5 cells where the header has 3"),
        ('"2001-03-07,1.0,2.0', "is no row of a CSV file"),
    ],
)
def test_a_row_that_cannot_be_read_refuses_the_file_by_its_line(row, sentence):
    fault = refusal(changed(PLAIN, 5, row))[0]
    assert fault.path == "line 5"
    assert sentence in fault.text
    assert len(str(fault)) < 250


def test_two_stations_in_one_file_are_refused_by_line():
    text = summaries_csv(some_days(40))
    lines = text.splitlines()
    faults = refusal(changed(text, 7, lines[6].replace("USC0", "USW0")))
    assert [fault.path for fault in faults] == ["line 7"]
    assert '"USW00251664"' in faults[0].text
    text = dly(some_days(40))
    assert [fault.path for fault in refusal(text + text.replace("USC0", "USW0"))][
        :2
    ] == ["line 7", "line 8"]


@pytest.mark.parametrize(
    ("begin", "end", "new", "sentence"),
    [
        (240, None, "", "characters long where 269 are due"),
        (269, None, "  -22  7", "is 277 characters long where 269 are due"),
        (21, 26, "  2 2", '"2 2" is no number on day 1'),
        (11, 17, "200113", '"200113" is no year and month'),
        (0, 21, "THIS IS NOT A LINE OF", "is no head of a .dly line"),
    ],
)
def test_a_line_of_the_archive_that_is_damaged_is_refused(begin, end, new, sentence):
    text = dly(some_days(40))
    line = text.splitlines()[1]
    cut = line[:begin] + new + (line[end:] if end is not None else "")
    (fault,) = refusal(changed(text, 2, cut))
    assert fault.path == "line 2"
    assert sentence in fault.text


def test_a_value_on_a_day_that_the_month_does_not_have_is_refused():
    text = dly(some_days(60))
    april = next(n for n, x in enumerate(text.splitlines()) if "200104TMIN" in x)
    line = text.splitlines()[april]
    (fault,) = refusal(changed(text, april + 1, line[:261] + "  -22" + line[266:]))
    assert "has a value for day 31, and the month has 30" in fault.text


def test_bytes_that_are_no_text_are_refused_by_their_line():
    raw = PLAIN.encode().replace(b"\n2001-03-08", b"\n\xff\xfe001-03-08")
    (fault,) = refusal(raw)
    assert fault.path == "line 5"
    assert "is not UTF-8" in fault.text


def test_all_faults_are_told_up_to_a_number_that_can_be_read():
    rows = [f"2001-03-0{n},x,y" for n in range(1, 10)]
    faults = refusal("\n".join(["date,tmin_c,tmax_c", *rows]))
    assert len(faults) == 18
    faults = refusal("\n".join(["date,tmin_c,tmax_c", *rows * 40]))
    assert len(faults) <= 21
    assert (faults[-1].path, faults[-1].text[:20]) == ("file", "has 700 more faults;")

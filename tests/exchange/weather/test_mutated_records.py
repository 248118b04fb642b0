"""Two thousand damaged weather files: read whole, or refused by line."""

import csv
import io
import math
import random
from collections import Counter
from typing import Final

import numpy as np
import pytest

from maintenance.engine.climate.degrees import kelvin_of
from maintenance.engine.climate.freeze_dates import freeze_dates
from maintenance.engine.climate.seasons import touched_seasons
from maintenance.engine.climate.series import Record
from maintenance.engine.site.faults import Faults
from maintenance.exchange.weather.record_file import read_record
from tests.exchange.weather.mutations import RECORD_MUTATORS
from tests.exchange.weather.weather_files import WRITERS, some_days

EACH: Final = 700


def told_by_csv(text: str) -> dict[str, list[float]]:
    """Read the minima of each day by the standard library alone."""
    rows = csv.DictReader(io.StringIO(text.removeprefix("\ufeff"), newline=""))
    found: dict[str, list[float]] = {}
    for row in rows:
        cells = {
            key.strip().casefold(): (cell or "").strip()
            for key, cell in row.items()
            if key
        }
        name = next(key for key in cells if key in ("tmin", "tmin_c", "tmin_f"))
        if cells[name] and not (name == "tmin" and float(cells[name]) == -9999):
            found.setdefault(cells["date"], []).append(float(cells[name]))
    return found


def told_by_columns(text: str) -> dict[str, list[float]]:
    found: dict[str, list[float]] = {}
    for line in text.removeprefix("\ufeff").split("\n"):
        if line[17:21] == "TMIN":
            for n in range(31):
                value = line[21 + 8 * n : 26 + 8 * n]
                if value != "-9999":
                    day = f"{line[11:15]}-{line[15:17]}-{n + 1:02d}"
                    found.setdefault(day, []).append(float(value))
    return found


def assert_whole(record: Record, text: str) -> None:
    """Assert that every minimum of the text is in the record, or is told as rejected."""
    series = record.series
    read = told_by_columns if record.format.endswith(".dly") else told_by_csv
    told = read(text)
    rejected = {
        each.day.isoformat() for each in record.rejected if each.of == "minimum"
    }
    known = {
        series.day(int(index)).isoformat(): float(series.tmin_k[index])
        for index in np.flatnonzero(np.isfinite(series.tmin_k))
    }
    assert set(told) == set(known) | rejected
    for day, value in known.items():
        recorded = kelvin_of(told[day], record.unit)
        assert any(math.isclose(value, each) for each in recorded.tolist()), day


def outcome(content: str | bytes) -> str:
    """Read a file; anything else than a refusal is raised."""
    try:
        record = read_record(content)
    except Faults as refusal:
        raw = (
            content
            if isinstance(content, bytes)
            else content.encode("utf-8", "replace")
        )
        lines = 1 + raw.count(b"\n") + raw.count(b"\r")
        for fault in refusal.faults:
            kind, _, number = fault.path.partition(" ")
            assert kind == "file" or (kind == "line" and 1 <= int(number) <= lines)
            assert fault.text.isprintable()
            assert len(fault.text) < 400
        return "refused"
    text = content.decode("utf-8") if isinstance(content, bytes) else content
    assert_whole(record, text)
    years = touched_seasons(record.series, "fall")
    assert freeze_dates(record.series, 273.15, "fall", years=years).events
    return "read"


@pytest.mark.parametrize("name", WRITERS)
def test_a_damaged_file_is_read_whole_or_refused_by_line(name):
    days = some_days(800)
    assert outcome(WRITERS[name](days)) == "read"
    found: dict[str, Counter[str]] = {}
    for seed in range(EACH):
        dice = random.Random(f"{name} {seed}")  # noqa: S311
        mutate = RECORD_MUTATORS[seed % len(RECORD_MUTATORS)]
        content = mutate(WRITERS[name](days), dice)
        found.setdefault(mutate.__name__, Counter())[outcome(content)] += 1
    assert sum(sum(count.values()) for count in found.values()) == EACH
    refused = sum(count["refused"] for count in found.values())
    assert 0.3 * EACH < refused < 0.95 * EACH, found
    assert all(
        count["refused"] for kind, count in found.items() if kind != "move_lines"
    )


def test_a_row_that_is_left_out_would_be_noticed():
    text = WRITERS["plain"](some_days(400))
    shorter = "\n".join([*text.splitlines()[:200], *text.splitlines()[201:]])
    with pytest.raises(AssertionError):
        assert_whole(read_record(shorter), text)

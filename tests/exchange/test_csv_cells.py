"""No cell of ours begins as a formula does, and each text comes back."""

import csv
import io
from datetime import UTC, date, datetime

import pytest
from hypothesis import given, strategies as st

from maintenance.exchange.csv_cells import (
    LEADERS,
    any_cell,
    csv_text,
    text_cell,
    text_of_cell,
)

TEXTS = st.text(st.characters(exclude_categories=["Cs"]))
LEADING = st.builds(str.__add__, st.sampled_from(LEADERS), TEXTS)


@given(TEXTS | LEADING)
def test_a_text_begins_as_no_formula_and_comes_back(text: str) -> None:
    cell = text_cell(text)
    assert not cell.startswith(LEADERS[:-1])
    assert text_of_cell(cell) == text


@given(st.lists(TEXTS | LEADING, min_size=1, max_size=5))
def test_a_file_comes_back(texts: list[str]) -> None:
    # Python's own reader cannot hold NUL before 3.13's; files of ours have none.
    texts = [text.replace("\x00", "") for text in texts]
    written = csv_text(["a"], [{"a": text} for text in texts])
    _head, *rows = csv.reader(io.StringIO(written, newline=""))
    assert [text_of_cell(row[0]) if row else "" for row in rows] == texts


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        (None, ""),
        (True, "yes"),
        (-1.5, "-1.5"),
        (-3, "-3"),
        (date(2026, 1, 2), "2026-01-02"),
        (datetime(2026, 1, 2, 3, tzinfo=UTC), "2026-01-02T03:00:00+00:00"),
        ({"a": "=1"}, '{"a": "=1"}'),
        ("=cmd|' /C calc'!A0", "'=cmd|' /C calc'!A0"),
    ],
)
def test_a_value_is_written_as_what_it_is(value: object, cell: str) -> None:
    assert any_cell(value) == cell

"""What a row asks for, what its clock counts, whose clock and name a page shows."""

import json
import re
from datetime import UTC, datetime
from typing import Any

import pytest
from django.http import HttpRequest, HttpResponse

from maintenance.documents.used_sheet import used_rows
from maintenance.engine.blowout.report import sheet_as_json
from maintenance.engine.errors import InputError
from maintenance.engine.procedure.step import Step
from maintenance.web.local_times import local_words
from maintenance.web.pass_phases import phases_of
from maintenance.web.readings_asked import read_seconds, reading_asked
from maintenance.web.who import COOKIE, NOBODY_NAMED, keep_name, who_works
from tests.documents.season import sheet_of_larkmoor, shutdown_of_larkmoor


@pytest.mark.parametrize(
    ("typed", "seconds"),
    [("", None), ("  ", None), ("95", 95), ("95 s", 95), ("1:35", 95), ("0:07.5", 7.5)],
)
def test_seconds_are_read_as_people_type_them(typed, seconds):
    assert read_seconds(typed) == seconds


@pytest.mark.parametrize(
    "typed", ["long", "-3", "1:2:3", "1e9", "nan", "9" * 20, "1,5"]
)
def test_what_is_no_number_of_seconds_is_refused(typed):
    with pytest.raises(InputError, match="is no number of seconds"):
        read_seconds(typed)


def _asked(**fields):
    step = Step(**{"key": "k", "on": "MT1", "text": "Do.", **fields})
    found = reading_asked(step, {"MT1"}, "us")
    return found.label if found else None


def test_only_steps_that_show_something_ask_for_a_reading():
    assert _asked(act="blow", on="Z1") == "Gauge at the end, air still on"
    assert _asked(act="prove_holding", on="V1") == "Caught in that time"
    assert _asked(act="record") == "What the meter shows"
    assert _asked(act="record", on="record") is None
    assert _asked(act="check", to="meter") == "What it showed"
    assert _asked(act="check", on="gear") is None
    assert _asked(act="run", on="1", to="2 min") == "Flow, if you can read it"
    assert _asked(act="run", on="K1", to="empty") is None
    assert _asked(act="close", on="V1", to="closed") is None


def _rows() -> dict[str, Any]:
    sheet: dict[str, Any] = sheet_as_json(sheet_of_larkmoor())
    return {row["row"]: row for row in (*sheet["mains"], *sheet["zones"])}


def test_the_clock_of_each_row_counts_what_its_step_and_the_print_say():
    rows, printed = _rows(), used_rows(sheet_as_json(sheet_of_larkmoor()), "us")
    blown = [s for s in shutdown_of_larkmoor().steps if s.act == "blow"]
    assert len(blown) > 25
    for step in blown:
        phases = json.loads(phases_of(step, rows[step.row or ""]))
        told = [int(n) for n in re.findall(r"(\d+) s\b", step.to)]
        passes = [each for each in phases if each["say"].startswith("Pass")]
        rests = [each for each in phases if each["say"].startswith("Rest")]
        assert phases[0]["seconds"] == told[0]
        assert {each["seconds"] for each in passes} == {told[1]}
        assert [each["seconds"] for each in rests] == told[2:]
        assert str(phases[0]["seconds"]) == printed[step.row or ""].front


def test_only_rests_begin_by_themselves():
    row = {
        "displacement": {"time_s": 54.2},
        "passes": [
            {"on_s": 15.9, "rest_s": 0.0},
            {"on_s": 15.9, "rest_s": 131.0},
            {"on_s": 15.9, "rest_s": 0.0},
        ],
    }
    step = Step(key="k", act="blow", on="Z1", text="Blow.", row="1")
    phases = json.loads(phases_of(step, row))
    assert [(p["seconds"], p["press"], p["air"], p["up"]) for p in phases] == [
        (55, "Start: air on", True, True),
        (15, "The water has ended", True, False),
        (15, "Start pass 2", True, False),
        (140, "", False, False),
        (15, "Start pass 3", True, False),
    ]
    assert phases_of(step, None) == ""


def test_a_valve_is_watched_for_its_minutes():
    step = Step(key="k", act="prove_holding", on="V1", text="Watch.", minutes=10.0)
    (phase,) = json.loads(phases_of(step, None))
    assert (phase["seconds"], phase["air"], phase["press"]) == (600, False, "Start")


def test_times_are_those_of_the_sites_clock():
    moment = datetime(2026, 10, 4, 20, 20, tzinfo=UTC)
    assert local_words(moment, "America/Denver") == "4 Oct 2026, 14:20"
    assert local_words(moment, "") == "4 Oct 2026, 20:20 UTC"
    assert local_words(moment, "no such zone") == "4 Oct 2026, 20:20 UTC"


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("Ann", "Ann"),
        ("  Zoë   Ånder ", "Zoë Ånder"),
        ("", NOBODY_NAMED),
        ("x" * 500, "x" * 60),
        ("a\x00b\r\nc;d", "ab c;d"),
    ],
)
def test_a_name_comes_back_from_the_browser_as_it_can_be_stored(name, kept):
    answer, request = HttpResponse(), HttpRequest()
    keep_name(answer, name)
    request.COOKIES[COOKIE] = answer.cookies[COOKIE].value
    assert who_works(request) == kept

"""Half a day left, as a person reads it, and what its command refuses."""

import json
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from tests.fixtures.demo import LARKMOOR


def run(*arguments: str) -> str:
    out = StringIO()
    call_command("procedure", str(LARKMOOR), *arguments, stdout=out, stderr=StringIO())
    return out.getvalue()


@pytest.fixture(scope="module")
def an_hour() -> str:
    return run("--shutdown", "--hours", "1", "--frost-tonight")


def test_the_answer_comes_first_with_its_minutes(an_hour):
    lines = an_hour.splitlines()
    assert lines[0] == "Part of the shutdown in 1 h: Larkmoor Gardens, frost tonight"
    assert "of the 60 minutes that 1 person has" in " ".join(lines[2:5])
    assert "break none of 12 rules" in " ".join(lines[2:5])


def test_today_stands_before_what_can_wait_and_what_stays_undone(an_hour):
    heads = ["Drain\n", "What can wait", "Not done at the end of today", "What freezes"]
    places = [an_hour.index(head) for head in heads]
    assert places == sorted(places)
    today = an_hour[: places[1]]
    assert "test cocks of B1" in today
    assert "Open drain D0" in today
    assert "Caution:" in today


def test_the_order_of_exposure_is_printed_with_its_sources(an_hour):
    order = an_hour[an_hour.index("What freezes first") :]
    assert order.count("Source:") == 6
    assert "common practice, no source" in order


def test_json_adds_the_half_day_to_the_list_of_today():
    found = json.loads(run("--shutdown", "--hours", "1", "--frost-tonight", "--json"))
    half = found["half_day"]
    assert found["format"] == "procedure/1"
    assert half["minutes_available"] == 60.0
    assert half["minutes_used"] == sum(step["minutes"] for step in found["steps"])
    assert [each["key"] for each in half["first"]] == [s["key"] for s in found["steps"]]
    assert half["waits"]


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--shutdown", "--hours", "0"), "hours: the time left must be above 0"),
        (("--shutdown", "--hours", "2", "--people", "0"), "people: at least one"),
        (
            ("--frost-night", "--hours", "2"),
            "--hours goes with --shutdown or --startup",
        ),
        (("--startup", "--people", "3"), "--people goes with --hours only"),
        (("--startup", "--frost-tonight"), "--frost-tonight goes with --hours only"),
    ],
)
def test_what_cannot_be_meant_is_refused_in_a_sentence(arguments, told):
    with pytest.raises(CommandError, match=told):
        run(*arguments)

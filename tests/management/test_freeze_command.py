"""`freeze`: the contract's JSON, its sentences, what it refuses."""

import json
import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
LARKMOOR = str(FIXTURES / "demo" / "larkmoor.json")
FORECAST = str(FIXTURES / "climate" / "larkmoor_forecast.csv")
CHAMPION = str(FIXTURES / "climate" / "champion.csv")
NOW = "2026-10-05T13:00-06:00"
KEYS = [
    "format", "site", "parts", "advice", "forecast_age_s", "figures", "warnings",
]  # fmt: skip
PART_KEYS = ["part", "kind", "threshold_k", "dates", "tonight", "level", "why"]
NIGHT_KEYS = ["first_ice_s", "half_frozen_s", "ice_fraction"]
ADVICE_KEYS = ["shutdown_by", "act", "reason", "days_of_watering_forgone"]


def run(*arguments: str, now: str = NOW) -> str:
    out = StringIO()
    call_command(
        "freeze", LARKMOOR, "--now", now, *arguments, stdout=out, stderr=StringIO()
    )
    return out.getvalue()


def as_json(*arguments: str, now: str = NOW):
    return json.loads(run(*arguments, "--json", now=now), parse_constant=pytest.fail)


def parts_of(told):
    return {each["part"]: each for each in told["parts"]}


def later_forecast(tmp_path: Path, hours: int) -> str:
    """Write the forecast without its first hours, as one issued later."""
    header, *lines = Path(FORECAST).read_text("utf-8").splitlines()
    path = tmp_path / "later.csv"
    path.write_text("\n".join([header, *lines[hours:]]), encoding="utf-8")
    return str(path)


def test_the_json_has_the_shape_of_the_contract():
    told = as_json("--series", CHAMPION, "--forecast", FORECAST)
    assert list(told) == KEYS
    assert (told["format"], told["site"]) == ("freeze/1", "larkmoor")
    assert list(told["advice"]) == ADVICE_KEYS
    assert told["forecast_age_s"] == 3600.0
    assert all(list(part) == PART_KEYS for part in told["parts"])
    assert all(part["level"] in range(5) for part in told["parts"])
    parts = parts_of(told)
    assert list(parts["B1"]["dates"]) == ["10", "50", "90"]
    assert list(parts["B1"]["tonight"]) == NIGHT_KEYS
    assert parts["B1"]["dates"] == {"10": "09-26", "50": "10-07", "90": "10-18"}
    assert parts["P1-1"]["dates"]["90"] is None  # not frozen in 9 winters of 10
    assert parts["PQ1"]["dates"] is None
    assert all(set(each) == {"code", "text", "about"} for each in told["warnings"])


def test_dates_need_a_series_and_tonight_a_forecast():
    neither = as_json()
    assert {each["dates"] for each in neither["parts"]} == {None}
    assert {each["tonight"] for each in neither["parts"]} == {None}
    assert neither["forecast_age_s"] is None
    assert neither["advice"]["act"] == "none"
    assert neither["advice"]["shutdown_by"] is None
    codes = {each["code"] for each in neither["warnings"]}
    assert {"no_forecast", "no_record"} <= codes
    forecast = as_json("--forecast", FORECAST)
    assert {each["dates"] is None for each in forecast["parts"]} == {True}
    assert parts_of(forecast)["B1"]["tonight"] is not None
    assert forecast["advice"]["days_of_watering_forgone"] is None


def test_the_crew_is_called_at_the_last_chance_and_told_so():
    """The cold night, 24 degF, comes 2 to 3 days from now: in reach of 2 crew days."""
    text = run("--forecast", FORECAST)
    lines = text.splitlines()
    assert (
        lines[0] == "Freeze outlook of Larkmoor Gardens, 2026-10-05, forecast 1 h old"
    )
    assert lines[2] == (
        "Shut down now. Last chance for planned work: 82 % for a damaging night 2 to 3 "
        "days from now, the crew needs 2 days, and acting pays from 10 %."
    )
    assert lines[3] == "Shut down by 7 Oct 2026."
    quick = as_json("--forecast", FORECAST, "--crew-days", "1")["advice"]
    assert (quick["act"], quick["shutdown_by"]) == ("wait", "2026-10-07")
    assert "Call it by 6 Oct" in quick["reason"]


def test_what_damage_costs_moves_the_chance_to_act_at():
    worth = ("--value-of-a-day", "90", "--cost-of-damage", "100", "--share-saved", "0")
    told = as_json("--forecast", FORECAST, *worth)
    figure = told["figures"]["chance_to_act_at"]
    assert figure["text"] == "0.90"
    assert not any("watering" in each for each in figure["assumptions"])
    assert told["advice"]["act"] == "wait"
    worth = ("--value-of-a-day", "90", "--cost-of-damage", "10", "--share-saved", "0")
    codes = {
        each["code"] for each in as_json("--forecast", FORECAST, *worth)["warnings"]
    }
    assert "never_worth_acting" in codes


def test_on_the_day_itself_what_stands_out_is_named(tmp_path):
    path = later_forecast(tmp_path, 48)
    told = as_json("--forecast", path, now="2026-10-07T12:00-06:00")
    parts = parts_of(told)
    assert told["advice"]["act"] == "drain_exposed"
    assert told["advice"]["shutdown_by"] == "2026-10-07"
    assert parts["B1"]["level"] >= 3
    night = parts["B1"]["tonight"]
    assert 0.0 < night["first_ice_s"] < night["half_frozen_s"] < 86400.0
    assert parts["PM1"]["level"] == 0
    assert parts["PM1"]["tonight"] is None


def test_without_a_forecast_the_planning_date_speaks():
    august = as_json("--series", CHAMPION, now="2026-08-20T12:00-06:00")["advice"]
    assert (august["act"], august["shutdown_by"]) == ("wait", "2026-09-26")
    assert "call the crew by 24 Sep" in august["reason"]
    assert 5.0 < august["days_of_watering_forgone"] < 20.0


def test_the_text_puts_parts_together_and_keeps_its_doubts():
    text = run("--forecast", FORECAST)
    row = next(line for line in text.splitlines() if " B1 " in f"{line} ")
    assert "backflow assembly" in row
    assert row.split()[-1] == "2"
    assert "P1-1, P1-2, P1-3 and " in text
    assert "Nobody has stated how soon the crew comes (2 days)" in text
    assert text.rstrip().endswith("Local codes and licensed practice come first.")


def test_what_is_new_stands_under_figures_and_its_reasons_in_the_text():
    told = as_json("--series", CHAMPION, "--forecast", FORECAST)
    figures = told["figures"]
    assert set(figures) == {
        "chance_to_act_at", "ice_at_the_cautious_end",
        "frost_depth_turf", "frost_depth_bare", "frost_depth_paved",
    }  # fmt: skip
    assert figures["frost_depth_turf"]["text"] == "21 in"
    assert "good to 30 %" in figures["frost_depth_turf"]["assumptions"][0]


def test_from_january_to_may_the_text_says_when_to_fill_and_why_not_yet():
    text = run("--series", CHAMPION, now="2026-04-25T12:00-06:00")
    assert "Filling in spring: not before 14 May 2026." in text
    assert "lacks: A night at or below 28 °F comes on or after 14 May in 10 %" in text
    assert "not known: No forecast tells of the week ahead" in text
    assert "holds: The soil at 24 in (PK4)" in text
    for now in ("2026-06-01T12:00-06:00", "2026-12-31T12:00-06:00"):
        assert "Filling in spring" not in run(now=now)
    bare = run(now="2026-01-01T12:00-06:00")
    assert "Filling in spring: what it hangs on is not all known." in bare


def test_an_offset_of_the_site_moves_dates_and_forecast_and_is_told():
    offset = ("--site-offset", "-2 delta_degF")
    told = as_json("--series", CHAMPION, "--forecast", FORECAST, *offset)
    plain = as_json("--series", CHAMPION, "--forecast", FORECAST)
    assert parts_of(told)["B1"]["dates"]["10"] < parts_of(plain)["B1"]["dates"]["10"]
    codes = {each["code"] for each in told["warnings"]}
    assert {"site_offset", "forecast_offset"} <= codes
    assert not {"site_offset", "forecast_offset"} & {
        each["code"] for each in plain["warnings"]
    }


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("--site-offset", "-2 psi"), "is not a temperature"),
        (("--site-offset", "-90 delta_degF"), "No site differs by -50 K"),
        (("--forecast", CHAMPION), "is no forecast that the tool knows"),
        (("--forecast", LARKMOOR), "no forecast that the tool knows"),
        (("--forecast", "nothing.csv"), "There is no file nothing.csv"),
        (("--series", FORECAST), "has a column of times and none of dates"),
        (("--crew-days", "9"), "write 0 to 6"),
        (("--share-saved", "0.5"), "give all three or none"),
        (
            ("--value-of-a-day=0", "--cost-of-damage=9", "--share-saved=0"),
            "write an amount above 0",
        ),
    ],
)
def test_what_cannot_be_done_is_one_sentence(arguments, sentence):
    with pytest.raises(CommandError, match=sentence) as refusal:
        run(*arguments)
    assert "\n" not in str(refusal.value)


def test_a_time_without_its_offset_is_asked_for():
    with pytest.raises(CommandError, match="no time with its offset from UTC"):
        run(now="2026-10-05T13:00")


def test_a_file_needs_no_database_and_no_data_folder(repository, tmp_path):
    data = tmp_path / "data"
    done = subprocess.run(
        [sys.executable, "manage.py", "freeze", LARKMOOR, "--forecast", FORECAST],
        cwd=repository,
        env={"IRRIGATION_DATA": str(data), "PATH": "/usr/bin:/bin"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Freeze outlook of Larkmoor Gardens, ")
    assert not data.exists()

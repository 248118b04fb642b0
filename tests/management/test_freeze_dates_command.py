"""`freeze_dates`: what it prints, what it refuses, and that it needs no database."""

import json
import subprocess
import sys
from datetime import date
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

CLIMATE = Path(__file__).resolve().parents[2] / "fixtures" / "climate"
CHAMPION, CAMBRIDGE, SEATTLE = (
    str(CLIMATE / f"{name}.csv") for name in ("champion", "cambridge", "seattle")
)
CHANCES = [str(chance) for chance in range(10, 100, 10)]
KEYS = [
    "format", "threshold_k", "season", "years", "n", "n_with", "mean_day", "sd_day",
    "dates", "empirical", "standard_error_days", "events", "rejected", "figures",
    "warnings",
]  # fmt: skip


def run(*arguments: str) -> str:
    out = StringIO()
    call_command("freeze_dates", *arguments, stdout=out, stderr=StringIO())
    return out.getvalue()


def as_json(*arguments: str):
    return json.loads(run(*arguments, "--json"), parse_constant=pytest.fail)


def changed(tmp_path: Path, rows: dict[str, str]) -> str:
    """Write the record of Champion with other rows on some days."""
    lines = (CLIMATE / "champion.csv").read_text("utf-8").splitlines()
    kept = [rows.get(line.partition(",")[0], line) for line in lines]
    path = tmp_path / "changed.csv"
    path.write_text("\n".join(line for line in kept if line), encoding="utf-8")
    return str(path)


@pytest.mark.parametrize("season", ["fall", "spring"])
@pytest.mark.parametrize("path", [CHAMPION, CAMBRIDGE, SEATTLE])
def test_the_answer_has_the_shape_of_the_contract(path, season):
    found = as_json(path, "--season", season, "--threshold", "20 degF")
    assert list(found) == KEYS
    assert found["format"] == "freeze_dates/1"
    assert found["threshold_k"] == pytest.approx(266.4833, abs=1e-3)
    for key in ("dates", "empirical", "standard_error_days"):
        assert list(found[key]) == CHANCES
    for chance in CHANCES:
        nothing = found["dates"][chance] is None
        assert nothing == (found["standard_error_days"][chance] is None)
    first, last = found["years"]
    assert [each["season"] for each in found["events"]] == list(range(first, last + 1))
    valid = [each for each in found["events"] if each["valid"]]
    assert found["n"] == len(valid)
    assert found["n_with"] == sum(each["date"] is not None for each in valid)
    assert all(set(each) == {"code", "text", "about"} for each in found["warnings"])


def test_the_defaults_are_32_degf_in_fall_over_all_complete_seasons():
    told = as_json(CHAMPION)
    assert (told["season"], told["years"]) == ("fall", [1982, 2017])
    assert told["threshold_k"] == pytest.approx(273.15)
    assert told["mean_day"] == pytest.approx(56.25)
    assert told == as_json(
        CHAMPION, "--threshold", "0 degC", "--season", "fall", "--years", "1982-2017"
    ) | {"threshold_k": told["threshold_k"]}


def test_years_name_seasons_by_their_beginning_in_fall_and_their_end_in_spring():
    fall = as_json(CHAMPION, "--years", "1985-1985")["events"]
    assert [(e["season"], e["date"][:4]) for e in fall] == [(1985, "1985")]
    spring = as_json(CHAMPION, "--season", "spring", "--years", "1985-1986")["events"]
    assert [e["date"][:4] for e in spring] == ["1985", "1986"]


def test_a_season_that_the_record_ends_in_is_told_and_not_counted():
    told = as_json(SEATTLE, "--threshold", "20 degF", "--years", "2012-2015")
    assert (told["n"], told["n_with"]) == (3, 1)
    last = told["events"][-1]
    assert (last["date"], last["valid"]) == (None, False)
    assert "missing" in last["why"]
    assert (told["sd_day"], set(told["dates"].values())) == (None, {None})
    assert {"seasons_left_out", "few_seasons"} <= {w["code"] for w in told["warnings"]}


def test_exact_compares_what_was_recorded(tmp_path):
    rows = {f"2000-{m:02d}-{d:02d}": f"2000-{m:02d}-{d:02d},9.0,20.0"
            for m in (8, 9) for d in range(1, 31)}  # fmt: skip
    rows["2000-09-20"] = "2000-09-20,-2.2,20.0"
    path = changed(tmp_path, rows)
    asked = ("--threshold", "28 degF", "--years", "2000-2000")
    assert as_json(path, *asked)["events"][0]["date"] == "2000-09-20"
    assert as_json(path, *asked, "--exact")["events"][0]["date"] == "2000-10-06"


def test_absurd_values_are_listed_with_their_line_and_count_as_missing(tmp_path):
    path = changed(tmp_path, {"1990-07-15": "1990-07-15,-57.8,30.0"})
    told = as_json(path)
    (one,) = told["rejected"]
    assert one["date"] == "1990-07-15"
    assert one["value_k"] == pytest.approx(273.15 - 57.8)
    line = (date(1990, 7, 15) - date(1982, 1, 1)).days + 2
    assert f"(line {line})" in one["why"]
    assert told["mean_day"] == as_json(CHAMPION)["mean_day"]
    assert "missing_days" in {each["code"] for each in told["warnings"]}


def test_the_text_begins_with_the_answer():
    lines = run(CHAMPION, "--threshold", "28 degF").splitlines()
    assert lines[0] == (
        "First freeze of autumn, 28 °F or colder: champion.csv, seasons 1982 to 2017"
    )
    assert lines[2] == (
        "It comes before 26 Sep in one year of ten (± 4 days), before 7 Oct in one of two "
        "(± 3 days), before 18 Oct in nine of ten (± 4 days). "
        "36 of 36 seasons had such a freeze."
    )
    row = next(line for line in lines if line.strip().startswith("20 %"))
    assert row.split()[:6] == ["20", "%", "30", "Sep", "3", "days"]
    assert "Seen: earliest 1983-09-20, latest 1994-10-23." in lines
    assert any(line.startswith("  - Source: NOAA") for line in lines)


def test_no_freeze_at_all_is_said_and_no_date_given():
    text = run(SEATTLE, "--threshold", "0 degF")
    assert "None of 3 seasons had such a freeze: no date can be given." in text
    told = as_json(SEATTLE, "--threshold", "0 degF")
    assert (told["n_with"], told["mean_day"]) == (0, None)
    assert told["figures"]["mean_day"]["text"] == "no freeze in these seasons"


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("--threshold", "28"), 'has no unit; write "28 degF"'),
        (("--threshold", "300 degF"), "is no freeze; write one from -60 to 60 degF"),
        (("--years", "1990"), "is no span of seasons; write one like 1991-2020"),
        (("--years", "2000-1990"), "ends before it begins"),
        (("--years", "1900-1910"), "holds no day of the seasons 1900 to 1910"),
        (("--unit", "degF"), "names °C in its header; leave --unit out"),
    ],
)
def test_what_cannot_be_done_is_one_sentence(arguments, sentence):
    with pytest.raises(CommandError, match=sentence) as refusal:
        run(CHAMPION, *arguments)
    assert "\n" not in str(refusal.value)


def test_a_record_needs_no_database_and_no_data_folder(repository, tmp_path):
    data = tmp_path / "data"
    for path, code in ((CHAMPION, 0), (str(repository / "README.md"), 1)):
        done = subprocess.run(
            [sys.executable, "manage.py", "freeze_dates", path],
            cwd=repository,
            env={"IRRIGATION_DATA": str(data), "PATH": "/usr/bin:/bin"},
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == code
        assert len(done.stderr.splitlines()) == code
        assert bool(done.stdout) == (code == 0)
        assert not data.exists()

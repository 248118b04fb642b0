"""`procedure`: what it prints, what it refuses, and that a file needs no database."""

import json
import subprocess
import sys
from io import StringIO
from pathlib import Path
from typing import get_args

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from maintenance.engine.procedure.step import Act
from maintenance.exchange.site_file import read_site
from maintenance.services.accounts import local_account
from maintenance.services.inventory.store import store_site

REPOSITORY = Path(__file__).resolve().parents[2]
FIXTURES = REPOSITORY / "fixtures"
LARKMOOR = FIXTURES / "demo" / "larkmoor.json"
YARD = FIXTURES / "demo" / "compressors" / "yard-25.json"
SITE_A = FIXTURES / "examples" / "site-a.json"
STEP_KEYS = ["n", "act", "on", "to", "text", "why", "cautions", "source", "minutes"]
STATES = {
    "holds": {"water", "air", "part", "unknown"},
    "pressure": {"relieved", "may_stand", "on"},
    "history": {"potable", "not_potable", "air"},
}


def run(*arguments: str) -> str:
    out = StringIO()
    call_command("procedure", *arguments, stdout=out, stderr=StringIO())
    return out.getvalue()


def as_json(*arguments: str):
    return json.loads(run(*arguments, "--json"), parse_constant=pytest.fail)


@pytest.mark.parametrize(
    "arguments",
    [
        (str(LARKMOOR), "--shutdown", "--compressor", str(YARD)),
        (str(SITE_A), "--shutdown"),
        (str(LARKMOOR), "--startup"),
        (str(LARKMOOR), "--frost-night"),
    ],
    ids=["blown", "drained", "startup", "frost_night"],
)
def test_the_answer_has_the_shape_of_the_contract(arguments):
    found = as_json(*arguments)
    assert found["format"] == "procedure/1"
    assert found["season"] in ("shutdown", "startup", "frost_night")
    assert [step["n"] for step in found["steps"]] == list(
        range(1, len(found["steps"]) + 1)
    )
    for step in found["steps"]:
        assert set(step) >= {*STEP_KEYS, "state_after"}
        assert step["act"] in get_args(Act)
        assert isinstance(step["minutes"], (int, float))
        for change in step["state_after"]:
            assert set(change) == {"section", "was", "is"}
            assert change["was"] != change["is"]
            for key, words in STATES.items():
                assert {change["was"][key], change["is"][key]} <= words
    assert [check["rule"] for check in found["checks"]] == [
        f"I{n}" for n in range(1, 13)
    ]
    for check in found["checks"]:
        assert set(check) == {"rule", "holds", "at_step", "text"}
        assert check["holds"] == (check["at_step"] is None)
    assert all(set(each) == {"id", "why"} for each in found["stays_open"])
    assert all(isinstance(word, str) for word in found["end_state"].values())
    assert all(set(each) == {"code", "text", "about"} for each in found["warnings"])


def test_the_water_left_is_the_object_of_drain_with_blown_and_frost_depth():
    found = as_json(str(LARKMOOR), "--shutdown", "--compressor", str(YARD))
    left = found["water_left"]
    assert "format" not in left
    assert set(left) >= {"links", "points", "trapped_m3", "trapped_by_zone"}
    states = {each["state"] for each in left["links"]}
    assert "blown" in states
    assert all("below_frost_depth" in each for each in left["links"])


def test_a_row_of_the_sheet_is_named_beside_its_step():
    found = as_json(str(LARKMOOR), "--shutdown", "--compressor", str(YARD))
    rows = [step["row"] for step in found["steps"] if step["row"]]
    assert rows[0] == "main:Q2"
    assert "coupler:Q1" in rows
    assert len(rows) == 33


def test_how_soon_a_weep_fills_the_line_is_a_figure_with_its_method():
    figures = as_json(str(LARKMOOR), "--shutdown")["figures"]
    figure = figures["refill_s:V1"]
    assert figure["text"].endswith(" h")
    assert figure["method"]
    assert figure["assumptions"]


def test_choices_are_followed():
    by_hand = run(
        str(LARKMOOR), "--shutdown", "--compressor", str(YARD), "--change-over", "hand"
    )
    assert "walk clear" in by_hand
    agreed = as_json(str(LARKMOOR), "--shutdown", "--agreed", "HOUSE")
    assert agreed["end_state"]["PU"] == "proved_dead"
    one = as_json(
        str(LARKMOOR), "--shutdown", "--compressor", str(YARD), "--port", "A2"
    )
    assert [s["on"] for s in one["steps"] if s["act"] == "connect"] == ["A2"]


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ((str(LARKMOOR),), "required"),
        ((str(LARKMOOR), "--shutdown", "--startup"), "not allowed"),
        ((str(LARKMOOR), "--shutdown", "--port", "A9"), "A1, A2"),
        ((str(LARKMOOR), "--shutdown", "--agreed", "BARN"), "HOUSE"),
        ((str(LARKMOOR), "--startup", "--compressor", str(YARD)), "--shutdown only"),
        (("no-such.json", "--shutdown"), "no file"),
    ],
)
def test_what_cannot_be_followed_is_refused_in_one_sentence(arguments, told):
    with pytest.raises(CommandError, match=told) as refusal:
        run(*arguments)
    assert "\n" not in str(refusal.value)


def test_a_file_needs_no_database_and_no_data_folder(tmp_path):
    data = tmp_path / "data"
    done = subprocess.run(
        [sys.executable, "manage.py", "procedure", str(SITE_A), "--shutdown"],
        cwd=REPOSITORY,
        env={"PATH": "/usr/bin:/bin", "IRRIGATION_DATA": str(data)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("Shutdown list")
    assert not data.exists()


@pytest.mark.django_db
def test_a_site_that_is_kept_is_named_by_its_id():
    site = read_site(SITE_A.read_bytes())
    store_site(site, account=local_account(), now=timezone.now())
    assert run("site-a", "--shutdown").startswith("Shutdown list")

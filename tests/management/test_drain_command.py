"""`drain`: what it prints, what it refuses, and that a file needs no database."""

import json
import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from maintenance.exchange.site_file import read_site
from maintenance.services.accounts import local_account
from maintenance.services.inventory.store import store_site

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
SITE_A = FIXTURES / "examples" / "site-a.json"
LARKMOOR = FIXTURES / "demo" / "larkmoor.json"
CONTRACTOR = FIXTURES / "demo" / "contractor"


def run(*arguments: str) -> str:
    out = StringIO()
    call_command("drain", *arguments, stdout=out, stderr=StringIO())
    return out.getvalue()


def as_json(*arguments: str):
    return json.loads(run(*arguments, "--json"), parse_constant=pytest.fail)


@pytest.mark.parametrize("path", [SITE_A, LARKMOOR], ids=lambda path: path.stem)
def test_the_answer_has_the_shape_of_the_contract(path):
    found = as_json(str(path))
    assert list(found) == [
        "format", "links", "points", "trapped_m3", "trapped_by_zone",
        "best_next_drains", "figures", "warnings",
    ]  # fmt: skip
    assert found["format"] == "drain/1"
    for each in found["links"]:
        assert list(each) == [
            "link", "state", "wet_length_m", "wet_volume_m3", "air_locked_length_m",
        ]  # fmt: skip
        assert each["state"] in {"trapped", "partly", "air_locked", "drained"}
    assert all(list(each) == ["point", "spill_level_m"] for each in found["points"])
    assert all(list(each) == ["at", "empties_m3"] for each in found["best_next_drains"])
    assert all(set(each) == {"code", "text", "about"} for each in found["warnings"])
    record = json.loads(path.read_text("utf-8"))
    zones = {zone["id"] for zone in record["zones"]}
    assert set(found["trapped_by_zone"]) == {*zones, "main"}
    assert {each["link"] for each in found["links"]} >= {
        each["id"] for each in record["links"]
    }
    assert {each["point"] for each in found["points"]} >= {
        each["id"] for each in record["points"]
    }


def test_levels_are_in_the_sites_own_elevations_and_null_without_a_way_out():
    levels = {
        each["point"]: each["spill_level_m"] for each in as_json(str(SITE_A))["points"]
    }
    assert levels["M4"] == pytest.approx(99 * 0.3048)
    assert levels["SUP"] is None


def test_both_options_take_ids_again_and_several_at_once():
    one = as_json(str(SITE_A), "--open", "M5", "--open", "P1", "--shut", "D3")
    other = as_json(str(SITE_A), "--open", "M5", "P1", "--shut", "D3")
    assert one == other
    assert one != as_json(str(SITE_A), "--open", "M5")


def test_the_text_begins_with_the_answer_and_tells_where():
    text = run(str(SITE_A), "--open", "M5", "--shut", "M1")
    lines = text.splitlines()
    assert lines[0] == (
        "Where water stays: Site A (reference 2, section 5.4), parts in winter "
        "position; open besides: M5; shut besides: M1"
    )
    assert lines[2].startswith("About 15.3 gal stay in 230.0 ft of pipe.")
    assert "210.0 ft of pipe may not drain" in lines[2]
    assert "open something at M1" in lines[2]
    row = next(line for line in lines if line.split()[:1] == ["P-M34"])
    assert row.split()[1:] == [
        "Main", "part", "full", "120.0", "ft", "90.0", "ft", "7.0", "gal", "30.0", "ft",
    ]  # fmt: skip
    assert "  - M4 (junction): 11.6 gal" in lines, "what a drain helps is rounded down"
    assert any(line.startswith("  - Source: Barnes") for line in lines)


def test_no_word_promises_what_nobody_saw():
    text = run(str(LARKMOOR)).lower()
    for word in ("proved", "proven", " safe", " dry ", "dry."):
        assert word not in text


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (("--open", "Q9"), '"Q9" cannot be opened: no part of this site'),
        (("--shut", "P-M12"), '"P-M12" cannot be shut: it is a part of kind pipe'),
        (("--open", "M5", "--shut", "M5"), "cannot be open and shut at once"),
    ],
)
def test_an_option_that_cannot_be_followed_is_a_sentence(options, sentence):
    with pytest.raises(CommandError, match=sentence) as refusal:
        run(str(SITE_A), *options)
    assert "\n" not in str(refusal.value)


@pytest.mark.parametrize(
    ("name", "code"),
    [("cinder-walk-9", "assumed_layout"), ("tollgate-40", "assumed_layout")],
)
def test_one_card_and_quick_zones_are_laid_out_and_said_to_be(name, code):
    path = CONTRACTOR / f"{name}.json"
    found = as_json(str(path))
    assert code in {each["code"] for each in found["warnings"]}
    record = json.loads(path.read_text("utf-8"))
    count = record["card"]["zones"] if "card" in record else len(record["zones"])
    assert len(found["trapped_by_zone"]) == count + 1
    assert found["trapped_m3"] > 0


def test_a_card_of_unknown_size_gives_lengths_and_no_volume(tmp_path):
    record = json.loads((CONTRACTOR / "cinder-walk-9.json").read_text("utf-8"))
    record["card"] |= {"pipe": "unknown plastic", "size": "unknown"}
    path = tmp_path / "site.json"
    path.write_text(json.dumps(record), encoding="utf-8")
    found = as_json(str(path))
    assert found["trapped_m3"] is None
    assert any(each["wet_length_m"] > 0 for each in found["links"])
    assert all(each["wet_volume_m3"] in (None, 0.0) for each in found["links"])
    assert "how much is unknown" in run(str(path))


def test_a_file_needs_no_database_and_no_data_folder(repository, tmp_path):
    data = tmp_path / "data"
    done = subprocess.run(
        [sys.executable, "manage.py", "drain", str(SITE_A), "--open", "nothing"],
        cwd=repository,
        env={"IRRIGATION_DATA": str(data), "PATH": "/usr/bin:/bin"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (1, "")
    assert len(done.stderr.strip().splitlines()) == 1
    assert not data.exists()


@pytest.mark.django_db
def test_what_is_kept_gives_the_same_answer_as_its_file():
    site = read_site(SITE_A.read_bytes())
    store_site(site, account=local_account(), now=timezone.now())
    assert run("site-a", "--open", "M5") == run(str(SITE_A), "--open", "M5")

"""`blowout`: what it prints, what it refuses, and that files need no database.

The values and tolerances of the example lateral are those that were set for the
product before the engine was written.
"""

import json
import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from maintenance.exchange.compressor_file import read_compressor
from maintenance.exchange.site_file import read_site
from maintenance.services.accounts import local_account
from maintenance.services.inventory.store import store_compressor, store_site

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
LATERAL = FIXTURES / "examples" / "example-lateral.json"
SHOP = FIXTURES / "examples" / "compressor-25.json"
PSI = 6894.757

SHEET_KEYS = {
    "format", "site", "compressor", "air_temperature_k", "groups", "zones", "mains",
    "answer", "before", "after", "bring", "if_this_happens", "total_time_s",
    "hands_on_time_s", "total_free_air_m3", "water_out_m3", "water_left_m3",
    "site_volume_m3", "most_useful_unknown", "figures", "warnings",
}  # fmt: skip
ROW_KEYS = {
    "row", "zone", "order", "order_reason", "port", "volume_m3", "water_at_start_m3",
    "limit_pressure_pa", "limited_by", "set_pressure_pa", "displacement", "passes",
    "gauge", "sweep", "standing_water", "free_air_m3", "verdict", "verdict_text",
    "least_free_air_m3_per_s", "stored_energy_j", "inlet", "longest_pass_s", "cautions",
}  # fmt: skip


def run(*arguments: str) -> str:
    out = StringIO()
    call_command("blowout", *arguments, stdout=out, stderr=StringIO())
    return out.getvalue()


def as_json(*arguments: str):
    return json.loads(run(*arguments, "--json"))


def changed_compressor(folder: Path, **changes: object) -> str:
    record = json.loads(SHOP.read_text("utf-8"))
    record.update(changes)
    record = {key: value for key, value in record.items() if value is not None}
    path = folder / "compressor.json"
    path.write_text(json.dumps(record), encoding="utf-8")
    return str(path)


@pytest.fixture(scope="module")
def lateral():
    return as_json(
        str(LATERAL), "--compressor", str(SHOP), "--set", "50 psi", "--passes", "2"
    )


def test_the_sheet_has_the_shape_of_the_contract(lateral):
    assert set(lateral) >= SHEET_KEYS
    assert lateral["format"] == "blowout/1"
    (zone,) = lateral["zones"]
    assert set(zone) == ROW_KEYS
    assert set(zone["displacement"]) == {
        "time_s", "left_fraction", "peak_pressure_pa", "peak_velocity_m_per_s",
    }  # fmt: skip
    assert set(zone["gauge"]) == {
        "dry_pa", "dry_high_pa", "one_head_blocked_pa", "two_heads_blocked_pa",
        "heads_stay_up", "usable", "at_compressor_dry_pa",
    }  # fmt: skip
    assert [set(each) for each in zone["passes"]] == [
        {"on_s", "rest_s", "left_fraction_after", "left_low", "left_high"}
    ] * 2
    (group,) = lateral["groups"]
    assert group == {"setting_pa": pytest.approx(50 * PSI), "rows": ["1"]}


def test_the_example_lateral_has_its_values(lateral):
    (zone,) = lateral["zones"]
    assert zone["displacement"]["time_s"] == pytest.approx(54.6, rel=0.03)
    assert zone["displacement"]["left_fraction"] == pytest.approx(0.204, abs=0.01)
    assert zone["gauge"]["dry_pa"] / PSI == pytest.approx(10.7, abs=0.5)


def test_what_is_left_falls_with_each_pass_and_is_never_nothing(lateral):
    (zone,) = lateral["zones"]
    left = [each["left_fraction_after"] for each in zone["passes"]]
    assert zone["displacement"]["left_fraction"] > left[0] > left[1] > 0


def test_water_out_and_water_left_are_the_site(lateral):
    total = lateral["water_out_m3"] + lateral["water_left_m3"]
    assert total == pytest.approx(lateral["site_volume_m3"], rel=1e-9)


def test_the_text_begins_with_the_answer_and_tells_the_numbers():
    text = run(str(LATERAL), "--compressor", str(SHOP), "--set", "50 psi")
    lines = text.splitlines()
    assert lines[0].startswith("Blow-out sheet: ")
    assert lines[2].startswith("shop-25 should clear")
    row = next(line for line in lines if line.lstrip().startswith("1  Zone 1"))
    assert row.split()[3:6] == ["79", "50", "55"]
    for title in ("Before the engine starts", "If this happens", "After", "Bring"):
        assert title in lines
    assert "Caution:" in text


def test_a_setting_above_the_limit_is_refused_in_one_sentence(repository, tmp_path):
    done = in_a_shell(repository, tmp_path / "data", "--set", "100 psi")
    assert (done.returncode, done.stdout) == (1, "")
    assert len(done.stderr.strip().splitlines()) == 1
    assert "100 psi is above the limit of zone 1, 79 psi" in done.stderr


def test_files_need_no_database_and_no_data_folder(repository, tmp_path):
    data = tmp_path / "data"
    done = in_a_shell(repository, data, "--json")
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["site"] == "example-lateral"
    assert not data.exists()


def in_a_shell(repository, data, *options: str):
    return subprocess.run(
        [sys.executable, "manage.py", "blowout", str(LATERAL),
         "--compressor", str(SHOP), *options],
        cwd=repository,
        env={"IRRIGATION_DATA": str(data), "PATH": "/usr/bin:/bin"},
        capture_output=True,
        text=True,
        check=False,
    )  # fmt: skip


def test_without_a_regulator_no_setting_is_given(tmp_path):
    path = changed_compressor(tmp_path, regulator=None)
    (zone,) = as_json(str(LATERAL), "--compressor", path)["zones"]
    assert zone["verdict"] == "cannot"
    assert zone["set_pressure_pa"] is None
    assert "regulator" in zone["verdict_text"]
    text = run(str(LATERAL), "--compressor", path)
    assert "No setting\n  Zone 1: " in text


def test_a_compressor_of_no_air_is_a_sentence(tmp_path):
    path = changed_compressor(tmp_path, free_air_delivery="0 cfm")
    (zone,) = as_json(str(LATERAL), "--compressor", path)["zones"]
    assert zone["verdict"] == "cannot"
    assert "delivers no air" in zone["verdict_text"]


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (("--set", "30"), '--set: "30" has no unit'),
        (("--set", "nan psi"), "--set: "),
        (("--set", "0 psi"), "no pressure to blow with"),
        (("--air", "500 degF"), "no air outdoors"),
        (("--passes", "0"), "1 to 20"),
        (("--remedies",), "name it with --zone"),
        (("--zone", "9"), '"9" is not on this site'),
    ],
)
def test_an_option_that_cannot_be_followed_is_a_sentence(options, sentence):
    with pytest.raises(CommandError, match=sentence) as refusal:
        run(str(LATERAL), "--compressor", str(SHOP), *options)
    assert "\n" not in str(refusal.value)


def test_a_file_with_faults_tells_them_all(tmp_path):
    record = json.loads(LATERAL.read_text("utf-8"))
    record["points"][0]["elevation"] = "3"
    record["points"][1]["colour"] = "blue"
    path = tmp_path / "site.json"
    path.write_text(json.dumps(record), encoding="utf-8")
    with pytest.raises(CommandError) as refusal:
        run(str(path), "--compressor", str(SHOP))
    assert len(str(refusal.value).splitlines()) == 2


@pytest.mark.django_db
def test_what_is_kept_gives_the_same_sheet_as_its_files():
    account, now = local_account(), timezone.now()
    store_site(read_site(LATERAL.read_bytes()), account=account, now=now)
    store_compressor(read_compressor(SHOP.read_bytes()), account=account, now=now)
    kept = run("example-lateral", "--compressor", "shop-25")
    assert kept == run(str(LATERAL), "--compressor", str(SHOP))


@pytest.mark.django_db
def test_what_is_not_kept_is_a_sentence():
    with pytest.raises(CommandError, match="nowhere"):
        run("nowhere", "--compressor", str(SHOP))


def test_remedies_come_with_the_zone_and_the_air_each_tank_needs():
    files = (str(LATERAL), "--compressor", str(SHOP), "--zone", "1", "--remedies")
    record = as_json(*files)
    for each in record["remedies"]:
        assert set(each) == {
            "act", "on", "value", "verdict", "left_fraction_after", "text",
        }  # fmt: skip
    tanks = [step["receiver_m3"] for step in record["frontier"]]
    assert tanks == sorted(tanks)
    assert len(tanks) > 1
    text = run(*files)
    assert "What would help" in text
    assert "Least free air that is enough, by the size of the tank" in text

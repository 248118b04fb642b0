"""Answers of a person become a site that holds together."""

import pytest
from hypothesis import given, strategies as st

from maintenance.engine.site.answers import UNKNOWN, upside_down
from maintenance.engine.site.checks import check_site
from maintenance.engine.site.faults import Faults
from maintenance.engine.site.record import from_record, to_record
from maintenance.engine.site.typed import site_from_answers
from maintenance.engine.site.typed_compressor import CLASSES, compressor_from_answers
from maintenance.engine.site.typed_zones import with_water_ways
from maintenance.engine.site.whole import Site
from maintenance.engine.units import parse_quantity

START = {
    "elevation": ["1600 m", "5200 ft"],
    "time_zone": ["America/Denver"],
    "autumn_air": ["45 degF"],
    "source": ["public", "well", "surface", "tank"],
    "static_pressure": ["62 psi"],
    "flow": ["18 gpm"],
    "pump": ["none", "submersible", "jet", "booster"],
    "also_feeds": ["nothing", "house"],
    "second_source": ["none", "well"],
    "shut_off": ["none", "ball", "gate", "stop_and_waste", "other"],
    "device": ["none", "RP", "DC", "PVB", "SVB", "AVB", "AG"],
    "device_size": ["1"],
    "device_placement": ["above_ground", "buried", "indoors"],
}
WAYS = {
    "main_pipe": ["PVC SDR-21", "unknown plastic"],
    "main_size": ["1", "1-1/2"],
    "main_length": ["36 m", "120 ft"],
    "main_fall": ["4 ft", "-2 m", "0 ft"],
    "port": ["none", "after_device", "main_end"],
    "port_fitting": ["1 in plug"],
    "zone_1_pipe": ["PE SIDR-15"],
    "zone_1_size": ["1"],
    "zone_1_length": ["40 m"],
    "zone_1_heads": ["1", "12"],
    "zone_1_head": ["spray", "rotor", "drip_emitters"],
    "zone_1_fall": ["-1 ft", "3 ft"],
    "zone_4_length": ["90 ft"],
}


def _some_of(answers: dict[str, list[str]]) -> st.SearchStrategy[dict[str, str]]:
    """Draw answers; each may be left out, empty or unknown."""
    return st.fixed_dictionaries(
        {},
        optional={
            name: st.sampled_from(["", "  ", UNKNOWN, *known])
            for name, known in answers.items()
        },
    )


@given(start=_some_of(START), ways=_some_of(WAYS))
def test_whatever_is_known_the_site_holds_together(
    start: dict[str, str], ways: dict[str, str]
) -> None:
    begun = site_from_answers({"name": "x", **start}, site_id="x")
    assert check_site(begun) == ()
    site = with_water_ways(begun, ways)
    assert check_site(site) == ()
    assert from_record(Site, to_record(site)) == site


def test_all_faults_are_told_at_once_by_the_name_of_the_question() -> None:
    with pytest.raises(Faults) as refusal:
        site_from_answers({"elevation": "12", "flow": "3 ft"}, site_id="x")
    assert {fault.path for fault in refusal.value.faults} == {
        "name",
        "elevation",
        "flow",
    }


@pytest.mark.parametrize(
    "text", ["4 ft", "-4 ft", "+ 1.5 m", "-1-1/2 ft", "1/2 in", "0 ft"]
)
def test_a_fall_turned_over_is_its_level(text: str) -> None:
    fall = parse_quantity(text, "height")
    assert parse_quantity(upside_down(text), "height") == pytest.approx(-fall)


@pytest.mark.parametrize("kind", ["", *CLASSES])
def test_a_class_gives_a_compressor_all_of_it_guessed(kind: str) -> None:
    compressor = compressor_from_answers({"class": kind}, compressor_id="x")
    assert compressor.free_air_delivery.origin == "guessed"
    assert compressor.receiver.origin == "guessed"
    assert compressor.regulator is None


def test_a_class_never_overrules_the_plate() -> None:
    answers = {"class": "towed", "free_air": "90 cfm", "plate_says": "delivered"}
    compressor = compressor_from_answers(answers, compressor_id="x")
    assert compressor.free_air_delivery.text == "90 cfm"
    assert compressor.free_air_delivery.origin == "stated"

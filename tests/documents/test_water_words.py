"""The map of water in words: what stays, how sure, and what to do."""

import re
from typing import Any

import pytest

from maintenance.documents.water_words import (
    ESTIMATE,
    STATES,
    answer_words,
    lies_words,
    place_words,
    standing_places,
    zone_waters,
)
from tests.documents.water import larkmoor_left, left_of
from tests.engine.network.small_sites import Record, pipe, point, site_record

FORBIDDEN = re.compile(r"\b(dry|safe|proved|guarantee)", re.IGNORECASE)


def sag(*low: Record, end: str = "open_end", **keys: Any) -> Record:
    """Return a source, and a pipe that dips between two ends."""
    points = [
        point("S", "supply", source="public"),
        point("A", end, 2.0),
        *(low or [point("B", z_m=0.0)]),
        point("C", "open_end", 2.0),
    ]
    return site_record(points, [pipe("P", "A", "B", **keys), pipe("Q", "B", "C")])


def everything(left, system="us"):
    lines = zone_waters(left, system)
    texts = [ESTIMATE, answer_words(left, system), *STATES.values()]
    texts += [each.do for each in lines] + [each.why for each in left.links]
    texts += [each.text for each in left.warnings]
    return " ".join(texts)


@pytest.mark.parametrize("done", [None, ()])
def test_no_word_says_more_than_can_be_known(done):
    text = everything(larkmoor_left(done))
    assert not FORBIDDEN.search(text)
    assert "estimate" in ESTIMATE
    assert "should not hold water" in " ".join(ESTIMATE.split())


def test_the_answer_names_the_most_water_and_what_is_kept():
    answer = answer_words(larkmoor_left(), "us")
    assert answer == (
        "About 34 gal of water should stay. Of that 13 gal is kept on purpose, for a "
        "source or another use. Most: 14.1 gal at R3; 1.7 gal at A1, part above "
        "ground; 1.2 gal at H15-1, and 6 more places."
    )
    assert " gal" not in answer_words(larkmoor_left(units="si"), "si")


def test_water_of_unknown_volume_is_told_by_its_length():
    left = left_of(sag(pipe="unknown", size=None))
    assert "More than" in answer_words(left, "us")
    both = sag(pipe="unknown", size=None)
    both["links"][1] = {**both["links"][0], "id": "Q", "from": "B", "to": "C"}
    left = left_of(both)
    assert answer_words(left, "us").startswith(
        "Water stays in 66 ft of pipe; how much is not known. Most: unknown at B, 66 ft"
    )
    (main,) = zone_waters(left, "us")
    assert main.water == "unknown"
    assert main.do == "fit a drain at B: empties 65 ft of pipe"


def test_a_site_that_drains_says_should():
    left = left_of(sag(point("B", "drain", 0.0, drain="manual")))
    assert answer_words(left, "us").startswith("No pipe should hold water, but for")
    (main,) = zone_waters(left, "us")
    assert (main.state, main.do, main.asks) == ("drained", "nothing", False)


@pytest.mark.parametrize(
    ("low", "act"),
    [
        (point("B"), "fit a drain at B"),
        (point("B", "end"), "open the end B"),
        (point("B", "quick_coupler"), "put the key into coupler B"),
        (point("B", "blowout_port"), "leave the plug out of port B until nothing runs"),
        (
            point("B", "drain", drain="automatic", opens_below="0.1 psi"),
            "open drain B",
        ),
    ],
)
def test_what_to_do_fits_what_is_there(low, act):
    left = left_of(sag(low))
    (main,) = zone_waters(left, "us")
    assert main.do.startswith(f"{act}: lets out about ")
    assert main.asks


def test_where_pipes_lie_is_told_as_far_as_it_is_known():
    def lies(frost_m, **keys):
        left = left_of(sag(**keys), frost_depth_m=frost_m)
        return lies_words(left.links[0], frost_m)

    assert lies(0.5, depth="1 m") == "below frost depth"
    assert lies(0.5, depth="0.4 m") == "in frost depth"
    assert lies(0.5) == "depth not known"
    assert lies(None, depth="1 m") == ""
    assert lies(0.5, placement="above_ground", depth="1 m") == "above ground"


def test_a_pool_says_where_it_lies_where_that_matters():
    def told(**keys):
        frost = keys.pop("frost_m", None)
        record = sag(**keys)
        record["links"][1] = {**record["links"][1], **keys}
        left = left_of(record, frost_depth_m=frost)
        (place,) = standing_places(left)
        return place_words(left, place, "us")

    assert told() == "3.0 gal"
    assert told(placement="indoors") == "3.0 gal, indoors"
    assert told(depth="1 m", frost_m=0.5) == "3.0 gal, below frost"
    assert told(depth="0.3 m", frost_m=0.5) == "3.0 gal"


def test_a_blown_zone_with_water_left_asks_and_a_film_does_not():
    lines = {each.key: each for each in zone_waters(larkmoor_left(), "us")}
    assert lines["15"].asks
    assert lines["15"].short_of_air
    assert lines["15"].do == "fit a drain at H15-1: lets out about 1.1 gal"
    assert not lines["1"].asks
    assert lines["1"].do == "nothing more: a film or low layer"
    assert lines["1"].water == "0.3"
    skipped = {e.key: e for e in zone_waters(larkmoor_left(("main:E1",)), "us")}
    assert skipped["15"].do.endswith("; or blow it out")
    assert not skipped["15"].short_of_air
    assert list(lines) == ["main", *(str(n) for n in range(1, 31))]


def test_a_drain_at_the_foot_of_devices_belongs_to_their_zone():
    lines = {each.key: each for each in zone_waters(larkmoor_left(()), "us")}
    assert lines["20"].do.startswith("fit a drain at L20: lets out")

"""The codec between plain objects and value types."""

import json
import math
import time
from pathlib import Path
from typing import Any

import pytest

from maintenance.engine.site import (
    Backflow,
    Compressor,
    Drain,
    Head,
    Pipe,
    Place,
    Pump,
    QuickZone,
    Site,
    ZoneValve,
)
from maintenance.engine.site.record import Faults, from_record, to_record
from tests.exchange.rich_site import card_record, rich_record

EXAMPLES = Path(__file__).parents[3] / "fixtures" / "examples"
PIPE = {
    "id": "P",
    "kind": "pipe",
    "from": "A",
    "to": "B",
    "pipe": "PVC Sch 40",
    "size": "1",
    "length": "120 ft",
}
HEAD = {
    "id": "H",
    "kind": "head",
    "head": "spray",
    "elevation": "0 ft",
    "flow": "2 gpm",
    "at_pressure": "30 psi",
}
PLACE = {"elevation": "10 m", "time_zone": "America/Denver"}


def _faults(cls: type, record: object, path: str = "") -> dict[str, str]:
    with pytest.raises(Faults) as caught:
        from_record(cls, record, path)
    return {fault.path: fault.text for fault in caught.value.faults}


@pytest.mark.parametrize(
    ("cls", "record", "path", "words"),
    [
        (Pipe, {**PIPE, "lenght": "1 ft"}, "lenght", 'did you mean "length"?'),
        (Pipe, {**PIPE, "a b": 1}, '["a b"]', "not known here; the keys here are"),
        (Pipe, {**PIPE, "id": ""}, "id", "is empty"),
        (Pipe, {**PIPE, "id": " P"}, "id", "spaces at an end"),
        (Pipe, {**PIPE, "id": 7}, "id", 'write it in quotes, like "7"'),
        (Pipe, {**PIPE, "note": "a\x00b"}, "note", "control character"),
        (Pipe, {**PIPE, "note": "\ud800"}, "note", "control character"),
        (Pipe, {**PIPE, "note": "x" * 5001}, "note", "at most 5000"),
        (Pipe, {**PIPE, "placement": "burried"}, "placement", 'mean "buried"?'),
        (Pipe, {**PIPE, "placement": "x"}, "placement", '"buried", "above_ground"'),
        (Pipe, {**PIPE, "size": 1}, "size", 'like "1"'),
        (Pipe, {k: PIPE[k] for k in PIPE if k != "to"}, "to", "is missing; write the"),
        (Pipe, {k: PIPE[k] for k in PIPE if k != "size"}, "size", "is missing"),
        (Pipe, {k: PIPE[k] for k in PIPE if k != "pipe"}, "pipe", "is missing"),
        (Drain, {"id": "D", "kind": "drain", "elevation": "0 ft"}, "drain", "manual"),
        (Head, {k: HEAD[k] for k in HEAD if k != "flow"}, "flow", "is missing"),
        (
            Head,
            {k: HEAD[k] for k in HEAD if k != "at_pressure"},
            "at_pressure",
            "is missing",
        ),
        (Head, {**HEAD, "k": "1 gpm/psi^0.5"}, "k", "keep one of the two"),
        (Head, {**HEAD, "position": [1]}, "position", "pair of numbers"),
        (Head, {**HEAD, "position": [1, math.nan]}, "position[1]", "NaN is not"),
        (Head, {**HEAD, "position": [1, "2"]}, "position[1]", "is not a number"),
        (Place, {**PLACE, "time_zone": "America/Denvr"}, "time_zone", "America/Denver"),
        (Place, {**PLACE, "time_zone": "America"}, "time_zone", "is no time zone"),
        (Place, {**PLACE, "time_zone": "../../etc/passwd"}, "time_zone", "no time"),
        (Place, {"elevation": "1 m"}, "time_zone", 'like "America/Denver"'),
        (Place, {"time_zone": "UTC"}, "elevation", 'is missing; write one like "-1.5'),
        (Place, {**PLACE, "latitude": 91}, "latitude", "from -90 to 90"),
        (Place, {**PLACE, "latitude": True}, "latitude", "true is not a number"),
        (Place, {**PLACE, "latitude": 10**400}, "latitude", "from -90 to 90"),
        (Place, {**PLACE, "latitude": math.inf}, "latitude", "infinity is not"),
        (Compressor, [], "compressor", "a list is not an object"),
        (
            ZoneValve,
            {"id": "Z", "kind": "zone_valve", "from": "A", "to": "B", "station": 1.5},
            "station",
            "is not a whole number",
        ),
        (
            ZoneValve,
            {"id": "Z", "kind": "zone_valve", "from": "A", "to": "B", "anti_siphon": 0},
            "anti_siphon",
            "neither true nor false",
        ),
        (
            Pump,
            {"id": "U", "kind": "pump", "from": "A", "to": "B", "also_feeds": "HOUSE"},
            "also_feeds",
            "is not a list",
        ),
        (
            Backflow,
            {
                "id": "B",
                "kind": "backflow",
                "from": "A",
                "to": "B",
                "device": "RP",
                "installed": "May 2019",
            },
            "installed",
            "is no date",
        ),
    ],
)
def test_each_kind_of_fault_has_its_path_and_mend(
    cls: type, record: object, path: str, words: str
) -> None:
    faults = _faults(cls, record)
    assert list(faults) == [path]
    assert words in faults[path]


def test_unknown_kinds_are_listed() -> None:
    record = rich_record()
    record["points"][3]["kind"] = "junktion"
    record["links"][0].pop("kind")
    faults = _faults(Site, record)
    assert 'did you mean "junction"?; choose of "supply"' in faults["points[3].kind"]
    assert 'is missing; choose of "pipe"' in faults["links[0].kind"]
    assert len(faults) == 2


def test_all_faults_are_found_at_once() -> None:
    record = rich_record()
    record["format"] = "irrigation-site/2"
    record["air_limit"] = 50
    record["place"]["elevation"] = "high"
    record["points"][4] = 5
    record["links"][0]["length"] = "140"
    record["zones"][1]["quick"]["heads"] = 0
    record["controllers"][0]["sensors"][1] = "wind"
    faults = _faults(Site, record)
    assert list(faults) == [
        "format",
        "place.elevation",
        "air_limit",
        "points[4]",
        "links[0].length",
        "zones[1].quick.heads",
        "controllers[0].sensors[1]",
    ]
    assert "irrigation-site/1" in faults["format"]


@pytest.mark.parametrize("pipe", ["unknown plastic", "unknown PVC", "unknown"])
def test_unknown_pipe_needs_no_size(pipe: str) -> None:
    record = {key: PIPE[key] for key in PIPE if key != "size"} | {"pipe": pipe}
    assert from_record(Pipe, record).size is None


def test_pipe_by_its_own_measures_needs_all_three() -> None:
    bare = {key: PIPE[key] for key in PIPE if key not in ("pipe", "size")}
    record = {**bare, "inside_diameter": "1.049 in"}
    assert list(_faults(Pipe, record)) == ["material", "rating"]
    whole = from_record(Pipe, {**record, "material": "PE", "rating": "100 psi"})
    assert whole.inside_diameter is not None


def test_head_may_be_unknown_or_given_by_its_coefficient() -> None:
    bare = {key: HEAD[key] for key in HEAD if key not in ("flow", "at_pressure")}
    assert from_record(Head, bare).flow is None
    assert from_record(Head, {**bare, "k": "0.3 gpm/psi^0.5"}).k is not None


def test_what_is_left_out_stays_unknown_and_is_never_zero() -> None:
    head = from_record(Head, HEAD)
    for name in ("nozzle_height", "check_valve", "arc", "stays_up_above", "position"):
        assert getattr(head, name) is None
        assert name not in to_record(head)
    assert from_record(Head, {**HEAD, "nozzle_height": None}) == head
    zero = from_record(Head, {**HEAD, "nozzle_height": "0 ft"})
    assert zero.nozzle_height is not None
    assert zero.nozzle_height.value == 0


@pytest.mark.parametrize("drop", ["flow", "static_pressure", "position"])
def test_dropping_an_optional_key_gives_none(drop: str) -> None:
    record = rich_record()
    assert record["points"][0].pop(drop) is not None
    assert getattr(from_record(Site, record).points[0], drop) is None


def test_compressor_pressures_must_follow_each_other() -> None:
    record: dict[str, Any] = {
        "format": "compressor/1",
        "id": "c",
        "free_air_delivery": "25 cfm",
        "receiver": "0 gal",
        "cut_in": "110 psi",
        "cut_out": "100 psi",
        "start_pressure": "120 psi",
    }
    assert list(_faults(Compressor, record)) == ["cut_in", "start_pressure"]
    record |= {"cut_in": "90 psi", "start_pressure": "100 psi"}
    assert from_record(Compressor, record).receiver.value == 0


@pytest.mark.parametrize("record", [rich_record(), card_record()])
def test_record_comes_back_as_it_was(record: dict[str, Any]) -> None:
    site = from_record(Site, record)
    assert to_record(site) == record
    assert json.dumps(to_record(site)) == json.dumps(record)


def test_empty_list_that_says_something_is_kept() -> None:
    record = rich_record()
    record["controllers"][0]["sensors"] = []
    record["controllers"].append({"id": "K2"})
    site = from_record(Site, record)
    assert site.controllers[0].sensors == ()
    assert site.controllers[1].sensors is None
    assert to_record(site)["controllers"] == record["controllers"]


def test_quick_zone_flow_asks_for_its_pressure() -> None:
    quick = rich_record()["zones"][1]["quick"]
    quick.pop("at_pressure")
    assert list(_faults(QuickZone, quick, "zones[1].quick")) == [
        "zones[1].quick.at_pressure"
    ]


def test_a_large_site_is_read_quickly() -> None:
    record = rich_record()
    extra = [
        {"id": f"X{n}", "kind": "junction", "elevation": f"{n} ft"} for n in range(250)
    ]
    record["points"] += extra
    from_record(Site, record)
    started = time.process_time()
    from_record(Site, record)
    assert time.process_time() - started < 0.1


@pytest.mark.parametrize("name", ["site-a.json", "example-lateral.json"])
def test_examples_are_read(name: str) -> None:
    record = json.loads((EXAMPLES / name).read_text("utf-8"))
    assert to_record(from_record(Site, record)) == record

"""Faults between the parts of a site."""

from collections.abc import Callable
from typing import Any

import pytest

from maintenance.engine.site import Site
from maintenance.engine.site.checks import check_draft, check_site
from maintenance.engine.site.record import from_record, read_draft
from tests.exchange.rich_site import card_record, rich_record

Record = dict[str, Any]
Change = Callable[[Record], object]


def _link(record: Record, id_: str) -> Record:
    found: Record = next(link for link in record["links"] if link["id"] == id_)
    return found


def _place(record: Record, id_: str) -> str:
    for name in ("points", "links"):
        for index, part in enumerate(record[name]):
            if part["id"] == id_:
                return f"{name}[{index}]"
    raise KeyError(id_)


def _faults(record: Record) -> dict[str, str]:
    return {fault.path: fault.text for fault in check_site(from_record(Site, record))}


@pytest.mark.parametrize("record", [rich_record(), card_record()])
def test_a_good_site_has_no_faults(record: Record) -> None:
    assert _faults(record) == {}


def _two_zones(record: Record) -> None:
    record["zones"].append({"id": "2", "valve": "Z1"})


def _second_valve(record: Record) -> None:
    record["links"].append({**_link(record, "Z1"), "id": "Z2"})


def _quick_clash(record: Record) -> None:
    record["points"].append({"id": "4.h3", "kind": "junction", "elevation": "0 ft"})


CASES: list[tuple[str, Change, str, str]] = [
    (
        "an id is used by a point and a link",
        lambda r: _link(r, "V1").update(id="J2"),
        "links[1].id",
        "already the id of points[4]",
    ),
    (
        "a zone id is used twice",
        lambda r: r["zones"][1].update(id="1"),
        "zones[1].id",
        "already the id of zones[0]",
    ),
    (
        "an end is missing",
        lambda r: _link(r, "P1").update(to="J1x"),
        "links[0].to",
        'did you mean "J1"?',
    ),
    (
        "a link begins and ends in one point",
        lambda r: _link(r, "X1").update(to="J4"),
        "links[4].to",
        "write the other one",
    ),
    (
        "a pipe is shorter than its rise",
        lambda r: _link(r, "P1").update(length="1.4 ft"),
        "links[0].length",
        '"0 ft" at S1, "-1.5 ft" at J1',
    ),
    (
        "the catalogue has no such pipe",
        lambda r: _link(r, "P1").update(pipe="PVC SDR-22"),
        "links[0].pipe",
        "PVC SDR-21",
    ),
    (
        "the pipe is not made in that size",
        lambda r: _link(r, "P1").update(size="7/8"),
        "links[0].size",
        "is not made in size",
    ),
    (
        "a quick zone's pipe is not in the catalogue",
        lambda r: r["zones"][1]["quick"].update(pipe="PE SIDR-16"),
        "zones[1].quick.pipe",
        "PE SIDR-15",
    ),
    (
        "a zone's valve is no link",
        lambda r: r["zones"][0].update(valve="Z9"),
        "zones[0].valve",
        "no link is called",
    ),
    (
        "a zone's valve is another thing",
        lambda r: r["zones"][0].update(valve="V1"),
        "zones[0].valve",
        'is of kind "isolation_valve"',
    ),
    ("two zones share a valve", _two_zones, "zones[2].valve", "already the valve"),
    ("a valve names another's zone", _second_valve, "links[24].zone", "of its own"),
    (
        "a valve names no zone",
        lambda r: _link(r, "Z1").update(zone="7"),
        "links[20].zone",
        "no zone is called",
    ),
    (
        "a valve names a quick zone",
        lambda r: _link(r, "Z1").update(zone="4"),
        "links[20].zone",
        "is a quick zone",
    ),
    (
        "a quick zone begins nowhere",
        lambda r: r["zones"][1]["quick"].update({"from": "J99"}),
        "zones[1].quick.from",
        "no point is called",
    ),
    (
        "a quick zone falls further than it is long",
        lambda r: r["zones"][1]["quick"].update(fall="-181 ft"),
        "zones[1].quick.fall",
        "more than the length",
    ),
    ("a quick part's id is taken", _quick_clash, "zones[1].quick", '"4.h3"'),
    (
        "a pump feeds no point",
        lambda r: _link(r, "PU").update(also_feeds=["BARN"]),
        "links[18].also_feeds[0]",
        "no point is called",
    ),
]


@pytest.mark.parametrize(
    ("change", "path", "words"),
    [case[1:] for case in CASES],
    ids=[case[0] for case in CASES],
)
def test_fault_between_parts(change: Change, path: str, words: str) -> None:
    record = rich_record()
    change(record)
    faults = _faults(record)
    assert path in faults
    assert words in faults[path]
    assert len(faults) == 1


def test_fittings_may_differ_in_height() -> None:
    record = rich_record()
    _link(record, "X4")  # from J8 at -1.5 ft to Q1 at 0.5 ft
    assert _faults(record) == {}


def test_pipe_as_long_as_its_rise_stands_upright() -> None:
    record = rich_record()
    _link(record, "P1")["length"] = "0.4572 m"
    assert _faults(record) == {}


def test_head_behind_no_zone_valve_is_on_no_zone() -> None:
    record = rich_record()
    _link(record, "P9")["from"] = "J7"
    faults = _faults(record)
    assert sorted(faults) == [_place(record, f"H{n}") for n in (1, 2, 3)]
    assert 'head "H1" is on no zone' in faults[_place(record, "H1")]


def test_head_behind_another_zone_valve_is_not_reached() -> None:
    record = rich_record()
    record["links"][-1] = {
        "id": "Z2",
        "kind": "zone_valve",
        "from": "H2",
        "to": "H3",
    }
    assert list(_faults(record)) == [_place(record, "H3")]


def test_head_is_not_reached_through_a_supply() -> None:
    record = rich_record()
    record["points"].append(
        {"id": "TANK", "kind": "supply", "source": "tank", "elevation": "0 ft"}
    )
    pipe = _link(record, "P11")
    record["links"].append({**pipe, "id": "P12", "from": "H2", "to": "TANK"})
    pipe["from"] = "TANK"
    assert list(_faults(record)) == [_place(record, "H3")]


def test_head_is_reached_against_the_direction_of_a_link() -> None:
    record = rich_record()
    pipe = _link(record, "P10")
    pipe["from"], pipe["to"] = pipe["to"], pipe["from"]
    assert _faults(record) == {}


def _reader_paths(record: Record) -> list[str]:
    return [fault.path for fault in read_draft(Site, record)[1]]


def test_zone_needs_a_valve_or_a_quick_run_and_not_both() -> None:
    record = rich_record()
    record["zones"][0].pop("valve")
    assert _reader_paths(record) == ["zones[0].valve"]
    record["zones"][0]["valve"] = "Z1"
    record["zones"][1]["valve"] = "Z1"
    assert _reader_paths(record) == ["zones[1].quick"]


def test_site_needs_points_or_a_card_and_not_both() -> None:
    record = card_record()
    card = record.pop("card")
    assert _reader_paths(record) == ["points", "links"]
    assert _reader_paths({**rich_record(), "card": card}) == ["card"]


def test_a_value_changed_by_a_form_is_checked_like_a_file() -> None:
    record = rich_record()
    record["zones"][0].pop("valve")
    site, _ = read_draft(Site, record)
    assert "zones[0].valve" in {fault.path for fault in check_site(site)}


def test_known_fault_does_not_breed_others() -> None:
    record = rich_record()
    _link(record, "Z1")["kind"] = "zone_vlave"
    record["points"][3]["elevation"] = "-1.5"
    site, faults = read_draft(Site, record)
    assert [fault.path for fault in faults] == ["points[3].elevation", "links[20].kind"]
    assert check_draft(site, faults) == ()


@pytest.mark.parametrize(
    ("key", "value", "path"),
    [
        ("largest_zone", "2000 gpm", "card.largest_zone"),
        ("zones", 1000, "card.zones"),
        ("pipe", "hose", "card.pipe"),
        ("size", "99", "card.size"),
    ],
)
def test_card_beyond_the_tool_is_refused(key: str, value: object, path: str) -> None:
    record = card_record()
    record["card"]["largest_zone"] = "60 gpm"
    record["card"][key] = value
    assert list(_faults(record)) == [path]


def test_card_and_quick_zone_may_have_a_size_unknown() -> None:
    card, quick = card_record(), rich_record()
    card["card"]["size"] = "unknown"
    quick["zones"][1]["quick"].update(pipe="unknown PE", size="unknown")
    assert _faults(card) == {}
    assert _faults(quick) == {}

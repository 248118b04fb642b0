"""Site and compressor files, in and out."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, strategies as st

from maintenance.engine.site.faults import Faults
from maintenance.exchange.compressor_file import read_compressor, write_compressor
from maintenance.exchange.site_file import read_site, write_site
from tests.exchange.rich_site import card_record, rich_record

EXAMPLES = Path(__file__).parents[2] / "fixtures" / "examples"


def _refusal(text: str | bytes) -> dict[str, str]:
    with pytest.raises(Faults) as caught:
        read_site(text)
    return {fault.path: fault.text for fault in caught.value.faults}


def _as_file(record: object) -> str:
    return json.dumps(record, ensure_ascii=False, indent=2) + "\n"


@pytest.mark.parametrize("name", ["site-a.json", "example-lateral.json"])
def test_example_site_is_read_and_written_once_for_all(name: str) -> None:
    raw = (EXAMPLES / name).read_bytes()
    written = write_site(read_site(raw))
    assert json.loads(written) == json.loads(raw)
    assert write_site(read_site(written.encode())) == written


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("compressor-*.json")), ids=str)
def test_example_compressor_is_read_and_written_once_for_all(path: Path) -> None:
    written = write_compressor(read_compressor(path.read_bytes()))
    assert json.loads(written) == json.loads(path.read_bytes())
    assert write_compressor(read_compressor(written)) == written


@pytest.mark.parametrize("record", [rich_record(), card_record()])
def test_written_file_comes_back_byte_for_byte(record: dict[str, Any]) -> None:
    text = _as_file(record)
    assert write_site(read_site(text)).encode() == text.encode()


def test_quick_zone_is_written_as_quick() -> None:
    written = write_site(read_site(_as_file(rich_record())))
    assert '"quick": {' in written
    assert "4.h1" not in written


def test_key_order_is_that_of_the_contract_whatever_came_in() -> None:
    record = rich_record()
    turned = {key: record[key] for key in reversed(record)}
    turned["points"] = [dict(reversed(point.items())) for point in record["points"]]
    assert write_site(read_site(_as_file(turned))) == _as_file(record)


def test_byte_order_mark_is_passed_over() -> None:
    text = _as_file(rich_record())
    assert read_site(b"\xef\xbb\xbf" + text.encode()) == read_site("\ufeff" + text)


def test_repeated_key_is_refused_where_it_stands() -> None:
    text = _as_file(rich_record()).replace('"id": "J1",', '"id": "J1", "id": "J1",', 1)
    assert _refusal(text) == {
        "points[3].id": "this key is given twice in one object; keep one"
    }


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "is empty"),
        ("  \n", "is empty"),
        (b"\xff\xfe{\x00", "is not UTF-8 at byte 1"),
        ('{"id": "a",}', "is no JSON at line 1, column"),
        ("{'id': 1}", "is no JSON at line 1, column 2"),
        ("[" * 100_000, "nested more than 20 deep"),
        ("[" * 300 + "]" * 300, "nested more than 20 deep"),
        ('{"a":' * 100_000, "nested more than 20 deep"),
        ("9" * 5000, "thousands of digits"),
        (" " * 17_000_000, "at most 16 MB"),
        (b" " * 50_000_000, "at most 16 MB"),
    ],
)
def test_file_that_is_no_json_is_one_sentence(text: str | bytes, words: str) -> None:
    refusal = _refusal(text)
    assert list(refusal) == ["file"]
    assert words in refusal["file"]


@pytest.mark.parametrize("text", ["[]", "null", "3", '"site"', "true"])
def test_json_that_is_no_object_is_one_sentence(text: str) -> None:
    refusal = _refusal(text)
    assert list(refusal) == ["site"]
    assert "is not an object" in refusal["site"]


def test_too_many_parts_are_refused_by_count() -> None:
    record = rich_record()
    record["notes"] = ["again"] * 501
    assert "at most 500" in _refusal(_as_file(record))["notes"]


def test_faults_of_keys_and_between_parts_come_together() -> None:
    record = rich_record()
    record["links"][0]["length"] = "140"
    record["links"][6]["to"] = "J66"
    record["zones"][0]["area"] = 310
    assert list(_refusal(_as_file(record))) == [
        "links[0].length",
        "zones[0].area",
        "links[6].to",
    ]


def test_compressor_faults_come_all_at_once() -> None:
    text = '{"format": "compressor/2", "id": "c", "free_air_delivery": 25}'
    with pytest.raises(Faults) as caught:
        read_compressor(text)
    paths = [fault.path for fault in caught.value.faults]
    assert paths == ["format", "free_air_delivery", "receiver"]


# Made-up sites: whatever is legal comes back byte for byte.
_NUMBER = st.one_of(
    st.integers(1, 45).map(str),
    st.floats(0.01, 45, allow_nan=False).map(repr),
    st.sampled_from(["3/4", "1-1/2", "2 1/4", "1.50", "0.10", "1e1", "+2", ".5"]),
)
_WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), min_size=1
).filter(str.strip)
_NAMES = _WORDS.map(str.strip).filter(lambda name: bool(name) and name.isprintable())
_ORIGINS = st.sampled_from(["measured", "label", "catalogue", "guessed"])


def _quantities(*units: str) -> st.SearchStrategy[Any]:
    text = st.tuples(_NUMBER, st.sampled_from(units)).map(" ".join)
    told = st.fixed_dictionaries({"value": text, "origin": _ORIGINS})
    return st.one_of(text, told)


_POINT = st.fixed_dictionaries(
    {"kind": st.just("junction"), "elevation": _quantities("ft", "m", "in")},
    optional={
        "max_air_pressure": _quantities("psi", "kPa"),
        "position": st.lists(
            st.one_of(st.integers(-99, 99), st.floats(-99, 99)), min_size=2, max_size=2
        ),
        "note": _WORDS,
    },
)
_LINK = st.one_of(
    st.fixed_dictionaries(
        {"kind": st.just("fitting")}, optional={"max_air_pressure": _quantities("bar")}
    ),
    st.fixed_dictionaries(
        {"kind": st.just("check_valve")},
        optional={"holds": st.just("0 ft"), "note": _WORDS},
    ),
    st.fixed_dictionaries(
        {"kind": st.just("pipe"), "pipe": st.just("unknown plastic")},
        optional={"depth": _quantities("in", "mm"), "note": _WORDS},
    ),
)


@given(
    points=st.lists(_POINT, min_size=2, max_size=6),
    links=st.lists(_LINK, max_size=6),
    name=_NAMES,
    latitude=st.none() | st.integers(-90, 90) | st.floats(-90, 90),
    notes=st.lists(_WORDS, max_size=2),
)
def test_any_legal_site_comes_back_byte_for_byte(
    points: list[dict[str, Any]],
    links: list[dict[str, Any]],
    name: str,
    latitude: float | None,
    notes: list[str],
) -> None:
    record: dict[str, Any] = {
        "format": "irrigation-site/1",
        "id": "made-up",
        "name": name[:500].strip(),
        "place": {"elevation": "10 m", "time_zone": "UTC"},
        "points": [{"id": f"J{n}", **each} for n, each in enumerate(points)],
        "links": [
            {"id": f"L{n}", **each, "from": "J0", "to": "J1"}
            | ({"length": "999 ft"} if each["kind"] == "pipe" else {})
            for n, each in enumerate(links)
        ],
    }
    if latitude is not None:
        record["place"]["latitude"] = latitude
    if notes:
        record["notes"] = notes
    written = write_site(read_site(_as_file(record)))
    assert json.loads(written) == record
    assert write_site(read_site(written)).encode() == written.encode()

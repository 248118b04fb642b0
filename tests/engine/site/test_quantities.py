"""Quantities of a record: text to SI, refused with the mend."""

import math
import time
from typing import Any

import pytest

from maintenance.engine.site import Hose, Pipe, Place
from maintenance.engine.site.record import Faults, from_record, to_record

FOOT = 0.3048
PIPE = {
    "id": "P",
    "kind": "pipe",
    "from": "A",
    "to": "B",
    "pipe": "PVC Sch 40",
    "size": "1",
    "length": "120 ft",
}
PLACE = {"elevation": "10 m", "time_zone": "America/Denver"}


def _faults(cls: type, record: object) -> dict[str, str]:
    with pytest.raises(Faults) as caught:
        from_record(cls, record)
    return {fault.path: fault.text for fault in caught.value.faults}


def test_the_contracts_own_example_of_a_fault() -> None:
    with pytest.raises(Faults) as caught:
        from_record(Pipe, {**PIPE, "length": "120"}, "links[12]")
    assert str(caught.value) == 'links[12].length: "120" has no unit; write "120 ft"'


def test_quantity_keeps_text_and_si() -> None:
    pipe = from_record(Pipe, {**PIPE, "length": "1-1/2 ft"})
    assert pipe.length.text == "1-1/2 ft"
    assert pipe.length.value == pytest.approx(1.5 * FOOT)
    assert pipe.length.origin == "stated"


@pytest.mark.parametrize("origin", ["measured", "label", "catalogue", "guessed"])
def test_origin_is_kept_and_written_back(origin: str) -> None:
    record = {**PIPE, "length": {"value": "180 ft", "origin": origin}}
    pipe = from_record(Pipe, record)
    assert pipe.length.origin == origin
    assert to_record(pipe)["length"] == record["length"]


@pytest.mark.parametrize(
    ("length", "path", "words"),
    [
        (120, "length", 'write a text like "120 ft"'),
        (math.nan, "length", "NaN is not a quantity"),
        (-math.inf, "length", "-infinity is not a quantity"),
        ("nan ft", "length", "not a finite number"),
        ("inf ft", "length", "not a finite number"),
        ("1e400 ft", "length", "not a finite number"),
        (True, "length", "true is not a quantity"),
        (None, "length", "null is not a quantity"),
        ([], "length", "a list is not a quantity"),
        ("", "length", "is empty"),
        ("ft", "length", "does not start with a number"),
        ("1/0 ft", "length", "divides by zero"),
        ("120 psi", "length", 'is not a length; write one like "120 ft"'),
        ("120 furlong", "length", '"furlong" is not a unit'),
        ("1 m**(9**9**9)", "length", "is not a unit"),
        ("1 (((m**99)**99)**99)**99", "length", "is not a unit"),
        ("1 m**9**9**9", "length", "is not a unit"),
        ("9" * 5000 + " ft", "length", "cannot be read"),
        ("½ ft", "length", "cannot be read"),
        ("0 ft", "length", "must be more than 0 ft"),
        ("-3 ft", "length", "must be more than 0 ft"),
        ("99 km", "length", "must be at most 20 km"),
        ({"value": "12", "origin": "measured"}, "length.value", 'write "12 ft"'),
        ({"value": "12 ft"}, "length.origin", "is missing; choose of"),
        ({"value": "12 ft", "origin": "dreamt"}, "length.origin", '"measured"'),
        ({"value": "1 ft", "origin": "label", "x": 1}, "length.x", "not known"),
        ({"origin": "label"}, "length.value", "is missing"),
    ],
)
def test_bad_quantity_is_refused_by_path(length: Any, path: str, words: str) -> None:
    started = time.perf_counter()
    faults = _faults(Pipe, {**PIPE, "length": length})
    assert list(faults) == [path]
    assert words in faults[path]
    assert time.perf_counter() - started < 1


def test_bound_is_told_in_the_unit_of_the_person() -> None:
    text = _faults(Hose, {"inside_diameter": "3 m", "length": "50 ft"})
    assert "at most 2 m" in text["inside_diameter"]
    warm = {**PLACE, "autumn_air_temperature": "-200 degC"}
    assert "at least -73.15 degC" in _faults(Place, warm)["autumn_air_temperature"]

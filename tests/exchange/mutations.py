"""Seeded damage to a site record: what hands, scripts and bad copies do to files."""

import json
import random
from collections.abc import Callable
from typing import Any, Final

Place = tuple[list[Any], Any]
"""The keys that lead to a container, and the key or index inside it."""

WRONG: Final[tuple[Any, ...]] = (
    None,
    True,
    0,
    -7,
    3.5,
    "",
    "   ",
    "120",
    [],
    {},
    [1, 2],
    {"value": "1 ft"},
    {"value": "1 ft", "origin": "dreamt"},
    float("nan"),
    float("inf"),
    10**400,
    1e308,
    "nan ft",
    "1e999 ft",
    "9" * 5000 + " ft",
    "1/0 in",
    "1 m**(9**9**9)",
    "12 furlong",
    "20 degF",
    "-3 gpm",
    "½ in",
    "\u0000",
    "\ud800",
    "a\u202eb",
    "élan 雪 🙂",
    "x" * 6000,
)
UNITS: Final = ("ft", "psi", "gpm", "in", "m", "degF", "gal", "m2", "deg")


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Return the way to every value inside a record."""
    keys = value.keys() if isinstance(value, dict) else range(len(value))
    found: list[tuple[Any, ...]] = []
    for key in keys:
        found.append((*path, key))
        if isinstance(value[key], dict | list):
            found.extend(places(value[key], (*path, key)))
    return found


def holder(record: Any, way: tuple[Any, ...]) -> Any:
    """Return the container that a way ends in."""
    for key in way[:-1]:
        record = record[key]
    return record


def text_of(way: tuple[Any, ...]) -> str:
    """Return a way as the path of a fault."""
    text = ""
    for key in way:
        if isinstance(key, int):
            text += f"[{key}]"
        else:
            text += f".{key}" if text else key
    return text


def drop(record: Any, way: tuple[Any, ...], dice: random.Random) -> None:
    """Leave a key or an item out."""
    del holder(record, way)[way[-1]]


def replace(record: Any, way: tuple[Any, ...], dice: random.Random) -> None:
    """Put something of another type or out of all bounds."""
    holder(record, way)[way[-1]] = dice.choice(WRONG)


def not_a_number(record: Any, way: tuple[Any, ...], dice: random.Random) -> None:
    """Put a number that is none, as Python writes it and reads it."""
    holder(record, way)[way[-1]] = dice.choice([float("nan"), float("-inf")])


def garble(record: Any, way: tuple[Any, ...], dice: random.Random) -> None:
    """Spoil a text: cut it, change its unit, or repeat a letter."""
    entered = holder(record, way)[way[-1]]
    if not isinstance(entered, str) or not entered:
        replace(record, way, dice)
        return
    at = dice.randrange(len(entered))
    holder(record, way)[way[-1]] = dice.choice(
        [
            entered[:at],
            entered[:at] + entered[at] * 3 + entered[at:],
            entered.split(" ")[0] + " " + dice.choice(UNITS),
            "-" + entered,
            entered.upper(),
            entered + " ft",
        ]
    )


def misspell(record: Any, way: tuple[Any, ...], dice: random.Random) -> None:
    """Rename a key."""
    inside = holder(record, way)
    if isinstance(inside, dict):
        inside[dice.choice(["x", "lenght", "Size", "a b", "é"])] = inside.pop(way[-1])
    else:
        replace(record, way, dice)


def swap(record: Any, way: tuple[Any, ...], dice: random.Random) -> None:
    """Exchange two values anywhere in the record."""
    other = dice.choice(
        [each for each in places(record) if each[: len(way)] != way[: len(each)]]
    )
    if other[: len(way)] == way:
        return
    one, two = holder(record, way), holder(record, other)
    one[way[-1]], two[other[-1]] = two[other[-1]], one[way[-1]]


def repeat(record: Any, way: tuple[Any, ...], dice: random.Random) -> None:
    """Give a part twice."""
    name = dice.choice(["points", "links", "zones"])
    parts = record.get(name)
    if isinstance(parts, list) and parts:
        parts.append(json.loads(json.dumps(dice.choice(parts))))
    else:
        replace(record, way, dice)


def nest(record: Any, way: tuple[Any, ...], dice: random.Random) -> None:
    """Bury a value in brackets."""
    inside = holder(record, way)
    deep = inside[way[-1]]
    for _ in range(dice.choice([1, 2, 30, 300])):
        deep = [deep] if dice.random() < 0.5 else {"kind": deep}
    inside[way[-1]] = deep


MUTATORS: Final[tuple[Callable[[Any, tuple[Any, ...], random.Random], None], ...]] = (
    drop,
    replace,
    not_a_number,
    garble,
    misspell,
    swap,
    repeat,
    nest,
)


def spoil_text(text: str, dice: random.Random) -> bytes:
    """Damage the file itself: cut it, flip a byte, or take a line out."""
    raw = bytearray(text.encode("utf-8", "surrogatepass"))
    at = dice.randrange(len(raw))
    way = dice.randrange(4)
    if way == 0:
        return bytes(raw[:at])
    if way == 1:
        raw[at] = dice.randrange(256)
        return bytes(raw)
    lines = text.splitlines(keepends=True)
    line = dice.randrange(len(lines))
    kept = lines[:line] + (lines[line : line + 1] * 2 if way == 3 else [])
    return "".join(kept + lines[line + 1 :]).encode("utf-8", "surrogatepass")

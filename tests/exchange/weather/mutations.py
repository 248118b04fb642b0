"""Weather files damaged by seeded chance: what hands, scripts and bad copies do."""

import json
import random
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final, Literal

from tests.exchange import mutations as records
from tests.exchange.weather import forecast_files, weather_files

STORED: Final = Path(__file__).parents[3] / "fixtures" / "weather"
PIECES: Final = (
    "nan", "-inf", "1e999", "NA", "M", "T", "--", "", " ", "-9999", "-9999.0", "999.9",
    "1_000", "½", "１２", "0x10", "\x00", "\x0c", "\u2028", '"', '""', ",", ",,,", ";", "\t",
    "\r", "\n", "2001-02-29", "9999-12-31", "0000-00-00", "1/1/2001", "20010101", "#",
    "TMIN", "tmin_f", "date", "-", "4 2", "9" * 400,
)  # fmt: skip
NUMBERS: Final = (
    "0", "-0", "-1", "7", "35.5", "99", "-99", "451", "-460", "4321", "-9999", "1e3",
    "1e-3", "1e300", "00012", "123456789012", "2026", "60", "24", ".5", "5.",
)  # fmt: skip
Mutator = Callable[[str, random.Random], str | bytes]


def cut_off(text: str, dice: random.Random) -> str:
    return text[: dice.randrange(len(text))]


def cut_front(text: str, dice: random.Random) -> str:
    return text[dice.randrange(1, len(text)) :]


def put_in(text: str, dice: random.Random) -> str:
    at = dice.randrange(len(text))
    return text[:at] + dice.choice(PIECES) + text[at:]


def overwrite(text: str, dice: random.Random) -> str:
    at = dice.randrange(len(text))
    piece = dice.choice(PIECES)
    return text[:at] + piece + text[at + len(piece) :]


def spoil_cell(text: str, dice: random.Random) -> str:
    lines = text.splitlines()
    which = dice.randrange(len(lines))
    cells = lines[which].split(",")
    wrong = dice.choice([*PIECES, *(str(each) for each in records.WRONG)])
    cells[dice.randrange(len(cells))] = wrong
    lines[which] = ",".join(cells)
    return "\n".join(lines)


def move_lines(text: str, dice: random.Random) -> str:
    lines = text.splitlines()
    begin, count = dice.randrange(len(lines)), dice.randrange(1, 30)
    piece = lines[begin : begin + count]
    rest = lines[:begin] + lines[begin + count :]
    way = dice.randrange(4)
    if way == 0:
        return "\n".join(rest)
    if way == 1:
        return "\n".join(lines + piece)
    at = dice.randrange(len(rest) + 1)
    moved = rest[:at] + piece + rest[at:]
    return "\n".join(moved if way == 2 else dice.sample(lines, len(lines)))


def damage_bytes(text: str, dice: random.Random) -> bytes:
    raw = bytearray(text.encode("utf-8"))
    for _ in range(dice.choice([1, 3, 30])):
        raw[dice.randrange(len(raw))] = dice.randrange(256)
    return bytes(raw)


def spoil_number(text: str, dice: random.Random) -> str:
    """Put another number for one that is there."""
    found = list(re.finditer(r"-?\d+(\.\d+)?", text))
    if not found:
        return put_in(text, dice)
    one = dice.choice(found)
    return text[: one.start()] + dice.choice(NUMBERS) + text[one.end() :]


def join_other(text: str, dice: random.Random) -> str:
    writers = weather_files.WRITERS
    other = weather_files.some_days(120, seed=dice.randrange(9), first=date(2001, 6, 1))
    return text + writers[dice.choice(sorted(writers))](other)


LINE_MUTATORS: Final[tuple[Mutator, ...]] = (
    cut_off, cut_front, put_in, overwrite, spoil_cell, spoil_number, move_lines,
    damage_bytes,
)  # fmt: skip
RECORD_MUTATORS: Final[tuple[Mutator, ...]] = (*LINE_MUTATORS, join_other)


def spoil_value(text: str, dice: random.Random) -> str:
    """Damage one value of the JSON in a text."""
    inside = json.loads(text)["properties"]
    way = dice.choice(list(records.places(inside)))
    dice.choice(records.MUTATORS)(inside, way, dice)
    return json.dumps({"properties": inside})


def damaged_forecast(text: str, dice: random.Random) -> str | bytes:
    """Damage a forecast: its text, or of JSON every other time a value."""
    if text.startswith("{") and dice.random() < 0.5:
        return spoil_value(text, dice)
    return dice.choice(LINE_MUTATORS)(text, dice)


@dataclass(frozen=True)
class Mutated:
    """A damaged file: what it was, and what a person would hand over now."""

    kind: Literal["record", "forecast"]
    format: str
    number: int
    content: bytes


def whole_records() -> dict[str, str]:
    """Return a record of a year and more in each format, not damaged."""
    days = weather_files.some_days(420)
    return {name: write(days) for name, write in weather_files.WRITERS.items()}


def whole_forecasts() -> dict[str, str]:
    """Return a forecast in each format, not damaged: made ones, and stored answers."""
    hours = forecast_files.some_hours(30)
    made = {name: write(hours) for name, write in forecast_files.WRITERS.items()}
    stored = ("grid", "hourly_f", "hourly_c", "hourly_quantities")
    return made | {
        f"stored {name}": (STORED / f"{name}.json").read_text(encoding="utf-8")
        for name in stored
    }


def mutated_files(count: int = 2_000) -> Iterator[Mutated]:
    """Return damaged files of all formats in turn, the same ones each time."""
    whole: list[tuple[Literal["record", "forecast"], str, str]] = [
        *(("record", *each) for each in whole_records().items()),
        *(("forecast", *each) for each in whole_forecasts().items()),
    ]
    for number in range(count):
        kind, name, text = whole[number % len(whole)]
        dice = random.Random(f"{name} {number}")  # noqa: S311
        if kind == "record":
            content = dice.choice(RECORD_MUTATORS)(text, dice)
        else:
            content = damaged_forecast(text, dice)
        if isinstance(content, str):
            content = content.encode("utf-8", "surrogatepass")
        yield Mutated(kind, name, number, content)

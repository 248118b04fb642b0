"""Published examples and check values, each beside its source.

The command ``check_references`` recomputes them and prints the differences; the
tests hold the differences within the tolerance. Kept in ``examples.csv``; a row
checks either one output of a worksheet, or one function of the engine, whose
arguments are then given as ``name=text@dimension``. An output in words is compared
word for word: its tolerance is ``exact``.
"""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from importlib.resources import files
from typing import Literal

from maintenance.engine.units import parse_pressure, parse_quantity
from maintenance.engine.worksheets.declaration import OutputValue
from maintenance.engine.worksheets.registry import find_worksheet

_ENGINE = "maintenance.engine."
_SCALE = {"K": 1.0, "degC": 1.0, "degF": 1.8}
_OFFSET = {"K": 0.0, "degC": 273.15, "degF": 459.67}
_EXACT = "exact"


@dataclass(frozen=True, slots=True)
class Example:
    """One check value.

    ``subject`` is a worksheet, or ``module:function`` of the engine. ``tolerance``
    is a share of the expected value, a text with a unit, or ``exact`` for words, where
    ``none`` stands for an output that is null. ``mark`` tells whether
    the value is ``published`` (read in the source), ``computed`` (by another
    program or by hand from the printed formula) or ``from memory``.
    """

    subject: str
    inputs: Mapping[str, str]
    output: str
    expected: str
    tolerance: str
    source: str
    mark: Literal["published", "computed", "from memory"]

    @property
    def is_function(self) -> bool:
        """Whether a function is checked rather than a worksheet [-]."""
        return ":" in self.subject

    @property
    def is_words(self) -> bool:
        """Whether words are compared rather than numbers [-]."""
        return self.tolerance == _EXACT


@dataclass(frozen=True, slots=True)
class Comparison:
    """An example beside what the engine computes now, in SI."""

    example: Example
    expected: float
    computed: float
    tolerance: float
    dimension: str

    @property
    def difference(self) -> float:
        """Relative difference; absolute where the expected value is 0 [-]."""
        scale = abs(self.expected) or 1.0
        return (self.computed - self.expected) / scale

    @property
    def difference_text(self) -> str:
        """The difference as it is printed [text]."""
        return f"{self.difference:+.2%}"

    @property
    def holds(self) -> bool:
        """Whether the difference stays within the tolerance [-]."""
        return abs(self.computed - self.expected) <= self.tolerance

    @property
    def text(self) -> str:
        """The computed value in the unit of the expected one [text]."""
        parts = self.example.expected.split()
        if len(parts) == 1:
            return f"{self.computed:.6g}"
        if self.dimension == "temperature":
            number = self.computed * _SCALE[parts[1]] - _OFFSET[parts[1]]
            return f"{number:.2f} {parts[1]}"
        unit = " ".join(parts[1:])
        one = _value(f"1 {unit}", self.dimension)
        return f"{self.computed / one:.6g} {unit}"


@dataclass(frozen=True, slots=True)
class WordsComparison:
    """An example in words beside what the engine answers now."""

    example: Example
    text: str

    @property
    def holds(self) -> bool:
        """Whether the words are the same [-]."""
        return self.text == self.example.expected

    @property
    def difference_text(self) -> str:
        """The difference as it is printed [text]."""
        return "the same" if self.holds else "other words"


@cache
def published_examples() -> tuple[Example, ...]:
    """Read every example.

    Returns
    -------
    tuple of Example
        In the order of the file [examples].
    """
    text = files("maintenance.engine.worksheets").joinpath("examples.csv")
    return tuple(
        Example(
            subject=row["subject"],
            inputs=_pairs(row["inputs"]),
            output=row["output"],
            expected=row["expected"],
            tolerance=row["tolerance"],
            source=row["source"],
            mark=_mark(row["mark"]),
        )
        for row in csv.DictReader(text.read_text("utf-8").splitlines())
    )


def recompute(example: Example) -> Comparison | WordsComparison:
    """Compute an example again.

    Parameters
    ----------
    example : Example
        The check value [example].

    Returns
    -------
    Comparison or WordsComparison
        Expected and computed value with the tolerance [SI], or the words [text].
    """
    if example.is_words:
        answer = find_worksheet(example.subject).answer(example.inputs)
        return WordsComparison(example, _words(answer.outputs[example.output]))
    if example.is_function:
        dimension = example.output
        computed = _call(example)
    else:
        sheet = find_worksheet(example.subject)
        (output,) = (o for o in sheet.outputs if o.key == example.output)
        dimension = output.dimension
        value = sheet.answer(example.inputs).outputs[example.output]
        if not isinstance(value, float):
            raise TypeError(f"{example.subject}: {example.output} is not a number")
        computed = value
    expected = _value(example.expected, dimension)
    return Comparison(
        example, expected, computed, _tolerance(example, expected, dimension), dimension
    )


def _words(value: OutputValue) -> str:
    match value:
        case None:
            return "none"
        case bool():
            return "yes" if value else "no"
        case list():
            return "; ".join(value)
        case _:
            return str(value)


def _call(example: Example) -> float:
    module, _, name = example.subject.partition(":")
    function = getattr(import_module(_ENGINE + module), name)
    arguments = {}
    for key, text in example.inputs.items():
        quantity, _, dimension = text.partition("@")
        arguments[key] = _value(quantity, dimension or "number")
    return float(function(**arguments))


def _value(text: str, dimension: str) -> float:
    if dimension == "pressure":
        return parse_pressure(text)[0]
    return parse_quantity(text, dimension)


def _tolerance(example: Example, expected: float, dimension: str) -> float:
    share = example.tolerance
    if share.endswith("%"):
        return float(share.removesuffix("%")) / 100.0 * abs(expected)
    if dimension == "temperature":
        return parse_quantity(share, "temperature_difference")
    return _value(share, dimension)


def _pairs(text: str) -> dict[str, str]:
    pairs = (part.partition("=") for part in text.split("; ") if part)
    return {name.strip(): value.strip() for name, _, value in pairs}


def _mark(text: str) -> Literal["published", "computed", "from memory"]:
    match text:
        case "published":
            return "published"
        case "computed":
            return "computed"
        case _:
            return "from memory"

"""A worksheet: one calculation, declared once, and the answer that it gives."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from maintenance.engine.errors import EngineError
from maintenance.engine.figure import Figure, Input as FigureInput, Warning
from maintenance.engine.units import Rounding
from maintenance.engine.worksheets.inputs import Given, Input, Pressure, read_inputs

OutputValue = float | bool | str | list[str] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """One output: its key (SI, the unit at the end), label and how it is rounded.

    ``kind`` is a number with a ``dimension``, a yes or no, one text, or several.
    ``rounding`` is down for what must not be exceeded, up for what is needed.
    """

    key: str
    label: str
    kind: Literal["number", "flag", "text", "texts"] = "number"
    dimension: str = "number"
    rounding: Rounding = "nearest"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the function of a worksheet returns.

    ``missing`` says by key why an output is None; ``doubtful`` holds the keys that
    lie outside the range in which their method was made; ``unused`` names defaults
    that this case had no use for.
    """

    values: Mapping[str, OutputValue]
    warnings: tuple[Warning, ...] = ()
    assumptions: tuple[str, ...] = ()
    missing: Mapping[str, str] = field(default_factory=dict)
    doubtful: frozenset[str] = frozenset()
    unused: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer of a worksheet: outputs in SI, figures, warnings, inputs as used."""

    worksheet: str
    inputs: tuple[Given, ...]
    outputs: Mapping[str, OutputValue]
    figures: Mapping[str, Figure]
    warnings: tuple[Warning, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Worksheet:
    """One calculation, declared once.

    ``function`` takes the inputs by name (SI floats, texts, `Pressure`; None where
    an optional one is left out) and returns an `Outcome` with a value for each of
    ``outputs``.
    """

    name: str
    title: str
    purpose: str
    method: str
    inputs: tuple[Input, ...]
    outputs: tuple[Output, ...]
    sources: tuple[str, ...]
    function: Callable[..., Outcome]
    cautions: tuple[str, ...] = ()

    def answer(self, inputs: Mapping[str, str]) -> Answer:
        """Read the inputs, compute, and return the answer with its figures.

        Parameters
        ----------
        inputs : mapping of str to str
            What the person wrote, by input name [text].

        Returns
        -------
        Answer
            Outputs, figures, warnings and the inputs as used [SI].

        Raises
        ------
        InputError
            For an input that is unknown, missing, unreadable or out of range.
        EngineError
            If the inputs together give no finite result.
        """
        used = read_inputs(self.name, self.inputs, inputs)
        values = {entry.name: None for entry in self.inputs} | {
            entry.name: entry.value for entry in used
        }
        outcome = self.function(**values)
        used = tuple(
            given
            for given in used
            if given.origin != "assumed" or given.name not in outcome.unused
        )
        outputs = {output.key: outcome.values[output.key] for output in self.outputs}
        self._check_finite(outputs)
        return Answer(
            self.name,
            used,
            outputs,
            self._figures(used, outcome),
            outcome.warnings,
        )

    def _check_finite(self, outputs: Mapping[str, OutputValue]) -> None:
        for key, value in outputs.items():
            if isinstance(value, float) and not math.isfinite(value):
                raise EngineError(
                    f"{self.name}: {key} has no finite value with these inputs; "
                    "check that they belong together."
                )

    def _figures(self, used: tuple[Given, ...], outcome: Outcome) -> dict[str, Figure]:
        assumed = tuple(
            f"{given.name} taken as {given.text}"
            + (f" ({given.why})" if given.why else "")
            for given in used
            if given.origin == "assumed"
        )
        inputs = tuple(FigureInput(g.name, g.text, g.origin) for g in used)
        figures = {}
        for output in self.outputs:
            value = outcome.values[output.key]
            if output.kind != "number" or not isinstance(value, float | None):
                continue
            figures[output.key] = Figure(
                value=value,
                dimension=output.dimension,
                method=self.method,
                sources=self.sources,
                inputs=inputs,
                assumptions=assumed + outcome.assumptions,
                in_range=output.key not in outcome.doubtful,
                rounding=output.rounding,
                missing=outcome.missing.get(output.key, "") if value is None else "",
            )
        return figures


def as_json(answer: Answer) -> dict[str, object]:
    """Return the contract's object for an answer.

    Parameters
    ----------
    answer : Answer
        What a worksheet answered [SI].

    Returns
    -------
    dict
        ``format``, ``worksheet``, ``inputs``, ``outputs`` (SI, unrounded),
        ``figures`` and ``warnings`` [SI].
    """
    return {
        "format": "worksheet/1",
        "worksheet": answer.worksheet,
        "inputs": {given.name: _input_json(given) for given in answer.inputs},
        "outputs": dict(answer.outputs),
        "figures": {key: figure.as_json() for key, figure in answer.figures.items()},
        "warnings": [warning.as_json() for warning in answer.warnings],
    }


def _input_json(given: Given) -> dict[str, object]:
    value = given.value
    entry: dict[str, object] = {
        "text": given.text,
        "value": value.value_pa if isinstance(value, Pressure) else value,
        "origin": given.origin,
    }
    if isinstance(value, Pressure):
        entry["absolute"] = value.is_absolute
    if given.why:
        entry["why"] = given.why
    return entry

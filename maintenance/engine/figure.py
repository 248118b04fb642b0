"""A figure: a number that carries how it was worked out."""

from collections.abc import Iterable
from dataclasses import dataclass

from maintenance.engine.units import Rounding, UnitSystem, display


@dataclass(frozen=True, slots=True)
class Input:
    """One input of a figure: its name, text as shown and where it came from."""

    name: str
    text: str
    origin: str


@dataclass(frozen=True, slots=True)
class Figure:
    """A value with its unit, method, sources, inputs, assumptions and range.

    ``value`` is SI, or None where it cannot be worked out; then ``missing`` says
    what to measure or enter. ``rounding`` is down for limits, up for needs.
    """

    value: float | None
    dimension: str
    method: str
    sources: tuple[str, ...] = ()
    inputs: tuple[Input, ...] = ()
    assumptions: tuple[str, ...] = ()
    in_range: bool = True
    rounding: Rounding = "nearest"
    missing: str = ""

    def text(self, system: UnitSystem = "us") -> str:
        """Return the value as a person reads it, or what is missing.

        Parameters
        ----------
        system : str
            ``us`` or ``si``. [-]

        Returns
        -------
        str
            Text with its unit. [-]
        """
        if self.value is None:
            return self.missing or "unknown"
        return display(self.value, self.dimension, system, self.rounding)

    def as_json(self) -> dict[str, object]:
        """Return the contract's object for a command's ``figures``.

        Returns
        -------
        dict
            ``text``, ``method``, ``sources``, ``inputs``, ``assumptions`` and
            ``in_range``. [-]
        """
        return {
            "text": self.text(),
            "method": self.method,
            "sources": list(self.sources),
            "inputs": [
                {"name": i.name, "text": i.text, "origin": i.origin}
                for i in self.inputs
            ],
            "assumptions": list(self.assumptions),
            "in_range": self.in_range,
        }


@dataclass(frozen=True, slots=True)
class Warning:  # noqa: A001  (the contract's word)
    """One warning: a short code, a sentence, and the ids it is about."""

    code: str
    text: str
    about: tuple[str, ...] = ()

    def as_json(self) -> dict[str, object]:
        """Return the contract's object.

        Returns
        -------
        dict
            ``code``, ``text`` and ``about``. [-]
        """
        return {"code": self.code, "text": self.text, "about": list(self.about)}


def without_repeats(warnings: Iterable[Warning]) -> tuple[Warning, ...]:
    """Keep the first of equal warnings, in order.

    Parameters
    ----------
    warnings : iterable of Warning
        Warnings as met. [-]

    Returns
    -------
    tuple of Warning
        Each once. [-]
    """
    return tuple(dict.fromkeys(warnings))

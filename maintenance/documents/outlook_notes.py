"""Figures of an outlook as a page shows them, each method once among the notes."""

from dataclasses import dataclass, field, replace

from maintenance.documents.outlook_units import in_units
from maintenance.engine.figure import Figure
from maintenance.engine.units import UnitSystem


@dataclass(frozen=True, slots=True)
class Told:
    """A figure with the words that are shown for it, and the number of its note."""

    text: str
    figure: Figure
    note: int


@dataclass(frozen=True, slots=True)
class Note:
    """One method: how, from where, and what it assumes in every case."""

    number: int
    name: str
    method: str
    sources: tuple[str, ...]


@dataclass(slots=True)
class Notes:
    """Numbers the methods of a page in the order in which they are met.

    What the engine words in US units is written in those of the page.
    """

    system: UnitSystem = "us"
    listed: list[Note] = field(default_factory=list)

    def told(self, name: str, text: str, figure: Figure) -> Told:
        """Take a figure down; ``name`` heads its method among the notes."""
        figure = replace(
            figure,
            method=in_units(figure.method, self.system),
            assumptions=tuple(in_units(t, self.system) for t in figure.assumptions),
        )
        for note in self.listed:
            if note.method == figure.method:
                return Told(text, figure, note.number)
        number = len(self.listed) + 1
        self.listed.append(Note(number, name, figure.method, figure.sources))
        return Told(text, figure, number)

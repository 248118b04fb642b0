"""One panel of a profile: where a distance and a value are drawn."""

from dataclasses import dataclass, field
from itertools import pairwise

from maintenance.documents.drawing.axes import Axis
from maintenance.documents.drawing.sheet import Line, Spot


@dataclass(frozen=True, slots=True)
class Panel:
    """One panel: distance to the right, a height or a pressure upwards.

    ``lines`` collects what labels keep clear of.
    """

    along: Axis
    up: Axis
    lines: list[Line] = field(default_factory=list)

    @property
    def top(self) -> float:
        """Upper edge in the view box."""
        return self.up.end

    @property
    def bottom(self) -> float:
        """Lower edge in the view box."""
        return self.up.start

    def spot(self, distance_m: float, value: float) -> Spot:
        """Return where a value at a distance is drawn."""
        return (self.along.at(distance_m), self.up.at(value))

    def exaggeration(self) -> float:
        """Return how many times larger heights are drawn than lengths."""
        per_up = abs(self.up.end - self.up.start) / (self.up.high - self.up.low)
        per_along = (self.along.end - self.along.start) / (
            self.along.high - self.along.low
        )
        return per_up / per_along

    def keep_clear(self, spots: list[Spot]) -> None:
        """Let labels avoid a run of lines."""
        self.lines.extend((*one, *two) for one, two in pairwise(spots))

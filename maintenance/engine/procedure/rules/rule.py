"""A rule, what it sees of a list, and what it finds broken."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.positions import Positions
from maintenance.engine.procedure.state import State
from maintenance.engine.procedure.step import Season, Step

Levels = Callable[[Positions], Mapping[str, float | None]]
"""Water levels that gravity leaves at each point [m], None or infinite where nothing
lets it out, from the positions at the end of a list."""
Severity = Literal["danger", "damage", "order"]


@dataclass(frozen=True, slots=True)
class Moment:
    """What a rule sees: one change, or the end of the list.

    ``start`` is the state at the head of the list; ``step`` is None there and at the
    end; ``agreed`` holds the other uses whose water may be shut off.
    """

    season: Season
    start: State
    before: State
    step: Step | None
    after: State
    agreed: frozenset[str] = frozenset()
    levels: Levels | None = None

    @property
    def piping(self) -> Piping:
        """The site."""
        return self.after.standing.piping

    def moved(self, element: str) -> bool:
        """Whether an element changed its position.

        Parameters
        ----------
        element : str
            Id of the element. [-]

        Returns
        -------
        bool
            True where it stands otherwise than before. [-]
        """
        before = self.before.standing.positions
        return before.get(element) != self.after.standing.positions.get(element)


@dataclass(frozen=True, slots=True)
class Breach:
    """One thing that breaks a rule; ``key`` tells it from others of the same rule."""

    key: tuple[str, ...]
    text: str


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule with its reason.

    ``severity``: *danger* to people or drinking water, *damage* to parts, *order* for a
    list that leaves something undone. ``check`` runs after every change, ``at_end`` once
    at the end of the list.
    """

    key: str
    name: str
    text: str
    severity: Severity
    source: str
    check: Callable[[Moment], Iterable[Breach]] | None = None
    at_end: Callable[[Moment], Iterable[Breach]] | None = None

"""A list in the making: each step is carried out on paper as it is written down."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from maintenance.engine.figure import Warning, without_repeats
from maintenance.engine.procedure.contents import Contents
from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.positions import Positions
from maintenance.engine.procedure.replay import Replay
from maintenance.engine.procedure.sections import Standing
from maintenance.engine.procedure.startup.wording import (
    name_of,
    short_name,
    where_of,
)
from maintenance.engine.procedure.state import State
from maintenance.engine.procedure.step import (
    Act,
    Change,
    Procedure,
    Season,
    StaysOpen,
    Step,
)


class Draft:
    """Steps written so far, how the site stands after them, and how long they took.

    ``start`` is when the work begins, None where nobody said; ``block`` the heading
    that new steps stand under.
    """

    def __init__(self, piping: Piping, state: State, start: datetime | None) -> None:
        self.piping = piping
        self.start = start
        self.block = ""
        self.steps: list[Step] = []
        self.warnings: list[Warning] = []
        self._replay = Replay(piping, state)

    @property
    def state(self) -> State:
        """The state after the steps written so far."""
        return self._replay.state

    @property
    def standing(self) -> Standing:
        """How the site stands after them."""
        return self.state.standing

    @property
    def positions(self) -> Positions:
        """Position of every element after them."""
        return self.standing.positions

    @property
    def minutes(self) -> float:
        """Time that they take."""
        return sum(step.minutes for step in self.steps)

    def twin(self) -> "Draft":
        """Return a draft that stands as this one does, to try steps on.

        Returns
        -------
        Draft
            Without the steps so far. [-]
        """
        other = Draft(self.piping, self.state, self.start)
        other.block = self.block
        return other

    def holds(self, cell: int) -> Contents:
        """Return what the section of a cell holds.

        Parameters
        ----------
        cell : int
            The cell. [-]

        Returns
        -------
        Contents
            Of the whole section. [-]
        """
        standing = self.standing
        return self.state.section(standing.cells[standing.section_of[cell]])

    def add(
        self,
        act: Act,
        on: str,
        text: str,
        *,
        moves: Iterable[tuple[str, str]] = (),
        during: Iterable[tuple[str, str]] = (),
        **keys: Any,
    ) -> None:
        """Write a step down and carry it out.

        Parameters
        ----------
        act, on, text : str
            As in `Step`. [-]
        moves, during : iterable of (str, str)
            Element and position of each change. [-]
        **keys
            The other fields of `Step`; the key is made from act and part. [-]
        """
        plain = f"{act}:{on}"
        again = sum(1 for s in self.steps if s.key.partition("#")[0] == plain)
        step = Step(
            key=f"{plain}#{again + 1}" if again else plain,
            act=act,
            on=on,
            text=text,
            block=self.block,
            changes=tuple(Change(*each) for each in moves),
            during=tuple(Change(*each) for each in during),
            **keys,
        )
        for _ in self._replay.do(len(self.steps) + 1, step):
            pass
        self.steps.append(step)

    def name(self, element: str) -> str:
        """Return the name of an element; see `name_of`."""
        return name_of(self.piping.graph, self.piping.elements[element])

    def short(self, element: str) -> str:
        """Return the short name of an element; see `short_name`."""
        return short_name(self.piping.graph, self.piping.elements[element])

    def where(self, element: str) -> str:
        """Return where an element is and what was noted on it; see `where_of`."""
        return where_of(self.piping.graph, self.piping.elements[element].part)

    def finished(
        self, season: Season, stays_open: tuple[StaysOpen, ...] = ()
    ) -> Procedure:
        """Return the list.

        Parameters
        ----------
        season : str
            Its season. [-]
        stays_open : tuple of StaysOpen, optional
            What must not be shut. [-]

        Returns
        -------
        Procedure
            All steps and warnings. [-]
        """
        return Procedure(
            season, tuple(self.steps), stays_open, without_repeats(self.warnings)
        )

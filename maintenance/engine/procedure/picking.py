"""Picking steps of a list so that what is left of it still breaks no rule."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from maintenance.engine.procedure.elements import controller_element
from maintenance.engine.procedure.rehearsal import Rehearsal
from maintenance.engine.procedure.step import Procedure, Step

BY_THE_CLOCK: Final = ("blow", "run", "drain", "prove_holding", "wait", "fill")
"""Acts that take their time however many people stand by (project choice)."""
LONG_MINUTES: Final = 5.0
MOST_FAILURES: Final = 3
_SAFETY: Final = "people"
_GEAR: Final = "gear"
_CONTROLLER: Final = controller_element("")
_MAIN: Final = "main:"
_SETTINGS: Final = ("set", "check")
_ROUND_OFF: Final = 1e-9
Picked = frozenset[int]
Group = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Spare:
    """Minutes that there are: of all people together, and by the clock."""

    together: float
    clock: float


class Picker:
    """Steps chosen so far, by number, of a list that breaks no rule as a whole.

    ``goals`` were asked for; ``chosen`` holds them and what comes along, of which
    ``tidying`` only leaves a part as the whole list leaves it.
    """

    def __init__(
        self, procedure: Procedure, rehearsal: Rehearsal, spare: Spare
    ) -> None:
        self.whole = procedure
        self.steps: Sequence[Step] = procedure.steps
        self.spare = spare
        self.goals: Picked = frozenset()
        self.chosen: Picked = frozenset()
        self.tidying: Picked = frozenset()
        self._rehearsal = rehearsal
        self._ends_of_whole = self._ends(range(len(self.steps)))

    def procedure(self) -> Procedure:
        """Return the list of the chosen steps, in the order of the whole."""
        return replace(
            self.whole, steps=tuple(self.steps[n] for n in sorted(self.chosen))
        )

    def breaks(self, picked: Picked) -> bool:
        """Whether some steps, alone, break a rule while they are carried out."""
        return self._rehearsal.breaks(sorted(picked))

    def minutes(self, picked: Iterable[int]) -> float:
        """Return the minutes of some steps."""
        return sum(self.steps[n].minutes for n in picked)

    def clock_minutes(self, picked: Iterable[int]) -> float:
        """Return the minutes that pass however many people stand by."""
        return self.minutes(n for n in picked if self.steps[n].act in BY_THE_CLOCK)

    def take(self, groups: Sequence[Group]) -> None:
        """Take the groups that fit, from the first on, each with what it needs.

        Parameters
        ----------
        groups : sequence of tuple of int
                Steps that are done together or not at all; after three in a row that do not
            fit, the rest is left. [-]
        """
        everything = frozenset(n for group in groups for n in group)
        if self._take(everything, simply=True):
            return
        failed = 0
        for group in groups:
            failed = 0 if self._take(frozenset(group)) else failed + 1
            if failed == MOST_FAILURES:
                return

    def take_in_order(self, groups: Sequence[Group]) -> None:
        """Take the groups from the first on, up to the first that does not fit.

        Parameters
        ----------
        groups : sequence of tuple of int
            Steps of which each group rests on all before it. [-]
        """
        for group in groups:
            picked = self.chosen | frozenset(group)
            if not self._fits(picked) or self.breaks(picked):
                return
            self.goals = self.chosen = picked

    def _take(self, goals: Picked, *, simply: bool = False) -> bool:
        picked = self.chosen | goals
        if not self._fits(picked):
            return False
        picked |= self._companions(picked)
        if not self._fits(picked):
            return False
        missing = self.breaks(picked)
        if missing and simply:
            return False
        picked = self._tidied(self._with_needs(picked) if missing else picked)
        if not self._fits(picked):
            return False
        self.goals |= goals
        self.chosen = picked
        return True

    def _fits(self, picked: Picked) -> bool:
        return (
            self.minutes(picked) <= self.spare.together + _ROUND_OFF
            and self.clock_minutes(picked) <= self.spare.clock + _ROUND_OFF
        )

    def _with_needs(self, goals: Picked) -> Picked:
        """Add the steps before that some goals break a rule without."""
        before = frozenset(range(max(goals))) - goals
        for helpers in self._helpers(before):
            if not self.breaks(goals | helpers):
                break
        else:
            helpers = before
        picked = goals | helpers
        for number in sorted(helpers, reverse=True):
            if not self.breaks(picked - {number}):
                picked -= {number}
        return picked | self._companions(picked)

    def _helpers(self, before: Picked) -> list[Picked]:
        """Return what may be missing: the quick moves, proofs, every move."""
        moves = frozenset(
            n for n in before if self._moves(n) and self.steps[n].row is None
        )
        quick = frozenset(n for n in moves if self.steps[n].minutes <= LONG_MINUTES)
        proofs = frozenset(n for n in before if self.steps[n].act == "prove_holding")
        return [quick, quick | proofs, moves | proofs]

    def _moves(self, number: int) -> bool:
        step = self.steps[number]
        return bool(step.changes or step.during or step.sees)

    def _companions(self, picked: Picked) -> Picked:
        """Return what is told, set or looked at before some steps, for their sake."""
        rows = [n for n in picked if self.steps[n].row is not None]
        blocks = {self.steps[n].block for n in rows}
        moved = {self.steps[n].on for n in picked if self._moves(n)}
        last = max(picked, default=0)
        found = {*self._hose(picked), *self._before_rows(rows)}
        for number, step in enumerate(self.steps):
            safety = step.on == _SAFETY or (rows and step.on == _GEAR)
            setting = step.act in _SETTINGS and not self._moves(number)
            belongs = step.block in blocks or step.on in moved
            if safety or (setting and belongs and number < last):
                found.add(number)
        return frozenset(found)

    def _hose(self, picked: Picked) -> Iterator[int]:
        """Yield all that is done when the hose goes on and comes off, where it does."""
        for number in picked:
            if self.steps[number].act == "connect":
                port = self.steps[number].on
                off = [
                    n
                    for n, s in enumerate(self.steps)
                    if n > number and s.act == "disconnect" and s.on == port
                ]
                for end in (number, *off[:1]):
                    yield from self._same_block(end)

    def _before_rows(self, rows: Sequence[int]) -> Iterator[int]:
        """Yield what air into a zone rests on: programmes held, its main blown."""
        if not rows:
            return
        for number, step in enumerate(self.steps[: min(rows)]):
            if any(c.element.startswith(_CONTROLLER) for c in step.changes):
                yield number
        for row in rows:
            for number in range(row, -1, -1):
                if self.steps[number].act == "connect":
                    break
                if (self.steps[number].row or "").startswith(_MAIN):
                    yield number

    def _same_block(self, number: int) -> Iterator[int]:
        block = self.steps[number].block
        yield from (n for n, step in enumerate(self.steps) if step.block == block)

    def _tidied(self, picked: Picked) -> Picked:
        """Add the last moves of what is not left as the whole list leaves it."""
        now = self._ends(picked)
        loose = {key for key in now if now[key] != self._ends_of_whole[key]}
        last = {
            change.element: number
            for number, step in enumerate(self.steps)
            for change in step.changes
            if change.element in loose
        }
        for number in sorted(set(last.values()) - picked):
            row = self.steps[number].row
            if row is None and not self.breaks(picked | {number}):
                picked |= {number}
                self.tidying |= {number}
        return picked

    def _ends(self, picked: Iterable[int]) -> dict[str, str]:
        return {
            change.element: change.position
            for number in sorted(picked)
            for change in self.steps[number].changes
        }

"""Try a choice of a list's steps against the rules, many choices one after the other."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from maintenance.engine.procedure.beginning import begin
from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.replay import Replay
from maintenance.engine.procedure.rules.registry import RULES
from maintenance.engine.procedure.rules.rule import Moment, Rule
from maintenance.engine.procedure.state import State
from maintenance.engine.procedure.step import Procedure

Broken = dict[str, frozenset[tuple[str, ...]]]
"""What is broken, by rule, since before the list: it is no fault of any step."""


@dataclass(frozen=True, slots=True)
class _Mark:
    """Where a choice stands after one of its steps."""

    state: State
    as_found: Broken


class Rehearsal:
    """Answers whether some steps of a list break a rule while they are carried out.

    What a choice has in common with the one before it, from the first step on, is not
    carried out again, and the first broken rule ends the answer.
    """

    def __init__(
        self,
        piping: Piping,
        procedure: Procedure,
        start: State | None,
        agreed: frozenset[str],
    ) -> None:
        first = start or begin(piping, procedure.season)
        self._steps = procedure.steps
        self._moment = Moment(procedure.season, first, first, None, first, agreed)
        self._replay = Replay(piping, first)
        self._done: list[int] = []
        self._marks = [_Mark(first, _all_broken(self._moment))]

    def breaks(self, numbers: Sequence[int]) -> bool:
        """Whether some steps break a rule that was not broken before them.

        Parameters
        ----------
        numbers : sequence of int
            The steps, from 0, in the order in which they are done. [-]

        Returns
        -------
        bool
            Rules about the end of a list are left out. [-]
        """
        same = 0
        for one, other in zip(self._done, numbers, strict=False):
            if one != other:
                break
            same += 1
        del self._done[same:]
        del self._marks[same + 1 :]
        for number in numbers[same:]:
            mark = self._after(self._marks[-1], number)
            if mark is None:
                return True
            self._done.append(number)
            self._marks.append(mark)
        return False

    def _after(self, mark: _Mark, number: int) -> _Mark | None:
        step = self._steps[number]
        self._replay.state = mark.state
        as_found = mark.as_found
        for was, is_ in self._replay.do(number + 1, step):
            moment = replace(self._moment, before=was, step=step, after=is_)
            now: Broken = {}
            for rule in RULES:
                found = _broken(rule, moment)
                if found - as_found[rule.key]:
                    return None
                now[rule.key] = found
            as_found = now
        return _Mark(self._replay.state, as_found)


def _all_broken(moment: Moment) -> Broken:
    return {rule.key: _broken(rule, moment) for rule in RULES}


def _broken(rule: Rule, moment: Moment) -> frozenset[tuple[str, ...]]:
    if rule.check is None:
        return frozenset()
    return frozenset(breach.key for breach in rule.check(moment))

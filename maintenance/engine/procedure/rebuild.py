"""An open list against one compiled anew: the difference, and the list rebuilt.

What was done or skipped is never lost and never reworded: a person did it as it was
worded then.
"""

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from maintenance.engine.errors import InputError
from maintenance.engine.procedure.progress import ListedStep
from maintenance.engine.procedure.step import Step


@dataclass(frozen=True, slots=True)
class Rewording:
    """A step as it stands in the list and as it is compiled now."""

    was: ListedStep
    is_: Step


@dataclass(frozen=True, slots=True)
class Difference:
    """What a rebuild would change.

    Attributes
    ----------
    added : tuple of Step
        Not in the list. [-]
    gone : tuple of ListedStep
        No longer compiled; those with an outcome stay to be seen. [-]
    changed : tuple of Rewording
        Not done yet, and otherwise now. [-]
    again : tuple of Rewording
        Done or skipped, but another deed is asked for now: that is to be done. [-]
    kept : tuple of Rewording
        Done or skipped, and the same deed in other words: nothing is to be done. [-]
    moved : tuple of ListedStep
        Elsewhere in the order; the fewest that explain it. [-]
    """

    added: tuple[Step, ...]
    gone: tuple[ListedStep, ...]
    changed: tuple[Rewording, ...]
    again: tuple[Rewording, ...]
    kept: tuple[Rewording, ...]
    moved: tuple[ListedStep, ...]

    def __bool__(self) -> bool:
        """Return whether a rebuild would change the list."""
        return bool(self.added or self.gone or self.changed or self.again or self.moved)


def difference(listed: Sequence[ListedStep], steps: Sequence[Step]) -> Difference:
    """Compare an open list with the steps compiled now.

    Parameters
    ----------
    listed : sequence of ListedStep
        The open list, with what earlier rebuilds left out. [-]
    steps : sequence of Step
        As compiled now. [-]

    Returns
    -------
    Difference
        Steps that a person added, and places a person chose, are no difference. [-]

    Raises
    ------
    InputError
        If two compiled steps have one key.
    """
    chosen = _choose(listed, steps)
    standing = _standing(listed)
    both = [(standing[s.key], s) for s in steps if s.key in standing]
    reworded = [
        Rewording(was, step) for was, step in both if chosen[step.key].step != was.step
    ]
    return Difference(
        added=tuple(step for step in steps if step.key not in standing),
        gone=tuple(each for key, each in standing.items() if key not in chosen),
        changed=tuple(each for each in reworded if each.was.outcome is None),
        again=tuple(each for each in reworded if each.was.outcome is not None),
        kept=tuple(
            Rewording(chosen[step.key], step)
            for step in steps
            if chosen[step.key].step != step
        ),
        moved=_moved([was for was, _ in both if not was.placed], listed),
    )


def rebuild(
    listed: Sequence[ListedStep], steps: Sequence[Step]
) -> tuple[ListedStep, ...]:
    """Return the list rebuilt from the steps compiled now.

    Parameters
    ----------
    listed : sequence of ListedStep
        The open list, with what earlier rebuilds left out. [-]
    steps : sequence of Step
        As compiled now. [-]

    Returns
    -------
    tuple of ListedStep
        Every row of the open list, those no longer compiled marked as gone, and new
        ones without a row. Compiled steps stand in the compiled order; what a person
        added or placed, and what is gone, stands behind the step it stood behind. A
        row that is gone stands before the step that took its key. [-]

    Raises
    ------
    InputError
        If two compiled steps have one key.
    """
    chosen = _choose(listed, steps)
    standing = _standing(listed)
    floating = {key for key in chosen if key in standing and standing[key].placed}
    units: dict[str, list[ListedStep]] = {key: [] for key in chosen}
    for each in listed:
        key = each.step.key
        if key in chosen and not each.own and each.row != chosen[key].row:
            units[key].append(replace(each, gone=True))
    for key, each in chosen.items():
        units[key].append(each)
    behind = _followers(listed, units, floating)
    ordered = [*behind[None]]
    for step in steps:
        if step.key not in floating:
            ordered += units[step.key] + behind[step.key]
    return tuple(ordered)


def _followers(
    listed: Sequence[ListedStep],
    units: Mapping[str, list[ListedStep]],
    floating: set[str],
) -> dict[str | None, list[ListedStep]]:
    """Return what no compiler places, by the compiled step that it stands behind."""
    behind: dict[str | None, list[ListedStep]] = {None: []}
    behind |= {key: [] for key in units}
    anchor: str | None = None
    for each in listed:
        key = each.step.key
        if each.own:
            behind[anchor].append(each)
        elif key not in units:
            behind[anchor].append(replace(each, gone=True))
        elif not each.gone and key in floating:
            behind[anchor] += units[key]
        elif not each.gone:
            anchor = key
    return behind


def _choose(
    listed: Sequence[ListedStep], steps: Sequence[Step]
) -> dict[str, ListedStep]:
    """Return the row that carries each compiled step from now on, by key."""
    rows: dict[str, list[ListedStep]] = {}
    for each in listed:
        if not each.own:
            rows.setdefault(each.step.key, []).append(each)
    chosen: dict[str, ListedStep] = {}
    for step in steps:
        if step.key in chosen:
            raise InputError(
                f'two steps of the new list are named "{step.key}"; give each its own'
            )
        chosen[step.key] = _carrier(rows.get(step.key, []), step)
    return chosen


def _carrier(rows: Sequence[ListedStep], step: Step) -> ListedStep:
    """Return the row that carries a step: never one that asked for another deed.

    A report that comes late, from a phone that still shows the former list, so never
    counts for something else than its sender did.
    """
    same = [each for each in rows if _deed(each.step) == _deed(step)]
    stands = [each for each in same if not each.gone]
    last_told = [each for each in rows if each.outcome is not None][-1:]
    back = [each for each in same if each in last_told]
    free = [each for each in same if each.outcome is None]
    carrier = next(iter((*stands, *back, *free)), None)
    if carrier is None:
        placed = any(each.placed and not each.gone for each in rows)
        return ListedStep(row=None, step=step, placed=placed)
    worded = step if carrier.outcome is None else carrier.step
    return replace(carrier, step=worded, gone=False)


def _deed(step: Step) -> tuple[object, ...]:
    """Return what a step comes down to, whatever its words.

    What a valve or a regulator is brought to matters. With how much air a row was
    blown out does not: its water is out, and a person may still undo the step.
    """
    to = "" if step.act == "blow" else step.to
    return step.act, step.on, to, frozenset(step.changes)


def _standing(listed: Iterable[ListedStep]) -> dict[str, ListedStep]:
    return {each.step.key: each for each in listed if not (each.gone or each.own)}


def _moved(
    now: Sequence[ListedStep], listed: Sequence[ListedStep]
) -> tuple[ListedStep, ...]:
    """Return the fewest steps whose moving explains the new order.

    The others are a longest rising run of the former places (patience sorting).
    """
    place = {id(each): n for n, each in enumerate(listed)}
    least: list[int] = []
    ends: list[int] = []
    before: list[int] = []
    for n, each in enumerate(now):
        length = bisect_left(least, place[id(each)])
        least[length:] = [place[id(each)], *least[length + 1 :]]
        ends[length:] = [n, *ends[length + 1 :]]
        before.append(ends[length - 1] if length else -1)
    stayed = set()
    n = ends[-1] if ends else -1
    while n >= 0:
        stayed.add(n)
        n = before[n]
    return tuple(each for n, each in enumerate(now) if n not in stayed)

"""Carry steps out on paper: every order of what a step moves, one move at a time."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from maintenance.engine.errors import InputError
from maintenance.engine.figure import Warning
from maintenance.engine.procedure.contents import merged
from maintenance.engine.procedure.elements import controller_element
from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.positions import Positions, changed
from maintenance.engine.procedure.sections import Standing, stand
from maintenance.engine.procedure.state import State, settle
from maintenance.engine.procedure.step import Change, Step
from maintenance.engine.site import ZoneValve

MOST_AT_ONCE: Final = 4
"""More moves in one step would mean more than a hundred orders to look at."""


class Replay:
    """The state of a site while steps are carried out one after the other."""

    def __init__(self, piping: Piping, state: State) -> None:
        self.piping = piping
        self.state = state
        self.warnings: list[Warning] = []
        self._known: dict[tuple[str, ...], Standing] = {}

    def do(self, n: int, step: Step) -> Iterator[tuple[State, State]]:
        """Carry out a step.

        Parameters
        ----------
        n : int
            Its number in the list. [-]
        step : Step
            The step. [-]

        Yields
        ------
        tuple of State and State
            Before and after each single move, in every order; last the step's own
            act. ``state`` is then the state after the step.

        Raises
        ------
        InputError
            If the step moves what is not there, or too much at once.
        """
        self._refuse(n, step)
        self._warn_of_controller(n, step)
        start = self.state
        moves = _real(start, step.changes)
        yield from self._orders(step, start, moves)
        held = _real(self.state, step.during)
        back = [
            Change(m.element, self.state.standing.positions[m.element]) for m in held
        ]
        yield from self._orders(step, self.state, held)
        yield from self._act(n, step)
        yield from self._orders(step, self.state, back)

    def _refuse(self, n: int, step: Step) -> None:
        for group in (step.changes, step.during):
            if len({change.element for change in group}) < len(group):
                raise InputError(
                    f"step {n} moves one part twice at once; write two steps"
                )
            if len(group) > MOST_AT_ONCE:
                raise InputError(
                    f"step {n} moves {len(group)} parts at once; split it so that no "
                    f"step moves more than {MOST_AT_ONCE}"
                )
            try:
                changed(self.piping.elements, self.state.standing.positions, group)
            except InputError as error:
                raise InputError(f"step {n}: {error}") from error
        for element in step.sees:
            if element not in self.piping.elements:
                raise InputError(
                    f'step {n} looks at "{element}", which is no part that can be '
                    "opened; write the id of a drain, cock, coupler, port or zone valve"
                )

    def _warn_of_controller(self, n: int, step: Step) -> None:
        """Say where a step opens what only a controller opens, and all are off."""
        graph, positions = self.piping.graph, self.state.standing.positions
        panels = [controller_element(each.id) for each in graph.site.controllers]
        if not panels or any(positions[panel] != "off" for panel in panels):
            return
        for change in (*step.changes, *step.during):
            link = graph.links.get(change.element)
            by_hand = not isinstance(link, ZoneValve) or link.opens_by != "controller"
            if not by_hand and change.position != "closed":
                text = (
                    f"Step {n} opens {change.element}, which only a controller opens, "
                    "and the controller is off by then."
                )
                self.warnings.append(Warning("controller_off", text, (change.element,)))

    def _orders(
        self, step: Step, start: State, moves: Sequence[Change]
    ) -> Iterator[tuple[State, State]]:
        """Move in every order; the state left is what any order may leave."""
        ends: list[State] = []
        open_ = [(start, tuple(moves))]
        while open_:
            state, left = open_.pop()
            if not left:
                ends.append(state)
            for change in left:
                after = self._move(step, state, change)
                yield state, after
                open_.append((after, tuple(c for c in left if c is not change)))
        self.state = _any_of(ends)

    def _move(self, step: Step, state: State, change: Change) -> State:
        positions = changed(self.piping.elements, state.standing.positions, [change])
        return settle(
            state,
            self._stand(positions),
            seen=_seen(step, state.seen - {change.element}, positions),
            proved=state.proved - {change.element},
        )

    def _act(self, n: int, step: Step) -> Iterator[tuple[State, State]]:
        """Do what the act itself does: look, prove, blow."""
        before = self.state
        standing, proved = before.standing, before.proved
        seen = _seen(step, before.seen, standing.positions)
        if step.act == "prove_holding":
            why = _no_proof(replace(before, seen=seen), step.on)
            if why:
                text = f"Step {n} does not prove that {step.on} holds: {why}."
                self.warnings.append(Warning("no_proof", text, (step.on,)))
            else:
                proved |= {step.on}
        blown = step.act == "blow"
        if blown or proved != before.proved or seen != before.seen:
            self.state = settle(before, standing, seen=seen, proved=proved, blown=blown)
            yield before, self.state

    def _stand(self, positions: Positions) -> Standing:
        key = tuple(positions.values())
        if key not in self._known:
            self._known[key] = stand(self.piping, positions)
        return self._known[key]


def _real(state: State, changes: Sequence[Change]) -> list[Change]:
    """Leave out what already stands where the step would bring it."""
    positions = state.standing.positions
    return [c for c in changes if positions.get(c.element) != c.position]


def _seen(step: Step, seen: frozenset[str], positions: Positions) -> frozenset[str]:
    shut = ("closed", "key_out", "plug_in", "in_place")
    return frozenset(
        element for element in (*seen, *step.sees) if positions[element] not in shut
    )


def _any_of(states: Sequence[State]) -> State:
    """Return the state that several orders may have left, the worst in each cell."""
    first = states[0]
    if len(states) == 1:
        return first
    contents = tuple(
        merged(each) for each in zip(*(s.contents for s in states), strict=True)
    )
    seen = frozenset.intersection(*(state.seen for state in states))
    return State(first.standing, contents, first.proved, seen)


def _no_proof(state: State, valve: str) -> str:
    """Return why watching a valve now shows nothing, or nothing."""
    standing, piping = state.standing, state.standing.piping
    if valve in piping.supplies:
        why = "" if standing.positions[valve] == "off" else "it is not turned off"
        dry = [piping.supplies[valve]]
    else:
        why, dry = _dry_side(standing, valve)
    if why:
        return why
    for cell in dry:
        section = standing.cells[standing.section_of[cell]]
        if any(state.seen_open(each) for each in section):
            return ""
    return "no opening behind it was seen to pass, so that a leak would not show"


def _dry_side(standing: Standing, valve: str) -> tuple[str, list[int]]:
    """Return why a valve does not part water from none, and the side without."""
    gates = standing.piping.gates
    number = next((n for n, gate in enumerate(gates) if gate.id == valve), None)
    if number is None or gates[number].kind not in ("valve", "diaphragm"):
        return "it is no valve", []
    ends = (gates[number].start, gates[number].end)
    dry = [cell for cell in ends if not standing.sources_at(cell)]
    if standing.passing[number]:
        return "it is not shut", dry
    if len(dry) == len(ends):
        return "no source presses on it", dry
    return "" if dry else "water presses on both sides of it", dry

"""A list while it is written: each step is carried out on paper as it is added."""

from collections.abc import Iterable
from dataclasses import replace

from maintenance.engine.figure import Warning
from maintenance.engine.procedure.positions import Positions, changed
from maintenance.engine.procedure.replay import Replay
from maintenance.engine.procedure.rules.registry import RULES
from maintenance.engine.procedure.rules.rule import Moment
from maintenance.engine.procedure.sections import Standing, stand
from maintenance.engine.procedure.shutdown.given import Given
from maintenance.engine.procedure.state import State, settle
from maintenance.engine.procedure.step import StaysOpen, Step
from maintenance.engine.procedure.ways_out import WASTE, Opening


class Draft:
    """Steps so far, and how the site stands after them.

    ``watched`` names the opening at which each source valve was seen to hold.
    """

    def __init__(self, given: Given) -> None:
        self.given = given
        self.replay = Replay(given.piping, given.start)
        self.steps: list[Step] = []
        self.stays_open: dict[str, StaysOpen] = {}
        self.warnings: list[Warning] = []
        self.watched: dict[str, str] = {}
        self.block = ""
        self._keys: dict[str, int] = {}
        self._trier = Replay(given.piping, given.start)
        self._so_far: tuple[State, dict[str, set[tuple[str, ...]]]] | None = None

    @property
    def state(self) -> State:
        """State after the last step."""
        return self.replay.state

    @property
    def standing(self) -> Standing:
        """How the site stands after the last step."""
        return self.replay.state.standing

    @property
    def positions(self) -> Positions:
        """Position of every element after the last step."""
        return self.standing.positions

    def add(self, step: Step) -> None:
        """Add a step under the present heading and carry it out.

        Parameters
        ----------
        step : Step
            The step; a key that is taken gets a number. [-]
        """
        count = self._keys[step.key] = self._keys.get(step.key, 0) + 1
        key = step.key if count == 1 else f"{step.key} {count}"
        step = replace(step, key=key, block=self.block)
        self.steps.append(step)
        for _ in self.replay.do(len(self.steps), step):
            pass

    def warn(self, code: str, text: str, *about: str) -> None:
        """Add a warning.

        Parameters
        ----------
        code, text : str
            Short code and sentence. [-]
        *about : str
            Ids that it is about. [-]
        """
        self.warnings.append(Warning(code, text, about))

    def stay(self, part: str, why: str) -> None:
        """Name a part that must not be shut; the first reason stands.

        Parameters
        ----------
        part, why : str
            Its id and the reason. [-]
        """
        self.stays_open.setdefault(part, StaysOpen(part, why))

    def twin(self) -> "Draft":
        """Return a draft that stands as this one does, to try steps on.

        Returns
        -------
        Draft
            Without the steps so far. [-]
        """
        other = Draft(self.given)
        other.replay = Replay(self.given.piping, self.state)
        return other

    def breaks(self, step: Step) -> str:
        """Return the rule that a step would newly break, as a sentence.

        Parameters
        ----------
        step : Step
            A step that could come next. [-]

        Returns
        -------
        str
            What would be wrong, empty where nothing is. [-]
        """
        self._trier.state = self.state
        for was, is_ in self._trier.do(0, step):
            breach = self._breach(step, was, is_)
            if breach:
                return breach
        return ""

    def breaks_at_once(self, step: Step) -> str:
        """Return the rule that is newly broken once all that a step moves is moved.

        Parameters
        ----------
        step : Step
            A step that could come next; what it moves on the way is not looked at. [-]

        Returns
        -------
        str
            What would be wrong, empty where nothing is. [-]
        """
        moves = (*step.changes, *step.during)
        positions = changed(self.given.piping.elements, self.positions, moves)
        after = settle(
            self.state,
            stand(self.given.piping, positions),
            seen=self.state.seen | set(step.sees),
            proved=self.state.proved - {move.element for move in moves},
        )
        return self._breach(step, self.state, after)

    def _breach(self, step: Step, was: State, is_: State) -> str:
        still = Moment(
            "shutdown",
            self.given.start,
            self.state,
            None,
            self.state,
            self.given.choices.agreed,
            None,
        )
        so_far = self._broken_so_far(still)
        moment = replace(still, before=was, step=step, after=is_)
        for rule in RULES:
            for breach in rule.check(moment) if rule.check else ():
                if breach.key not in so_far[rule.key]:
                    return breach.text
        return ""

    def _broken_so_far(self, still: Moment) -> dict[str, set[tuple[str, ...]]]:
        """Return what is broken as the site stands, worked out once for a state."""
        known = self._so_far
        if known is None or known[0] is not still.after:
            found = {
                rule.key: {breach.key for breach in rule.check(still)}
                for rule in RULES
                if rule.check
            }
            known = self._so_far = (still.after, found)
        return known[1]

    def openings(self, cells: Iterable[int]) -> list[Opening]:
        """Return the openings of some cells that a person can open or shut.

        Parameters
        ----------
        cells : iterable of int
            The cells. [-]

        Returns
        -------
        list of Opening
            One for each element, in the order of the file, without heads, automatic
            drains and the assemblies themselves. [-]
        """
        wanted = set(cells)
        found: dict[str, Opening] = {}
        for opening in self.given.piping.openings:
            passed_over = opening.kind in ("assembly", WASTE) or not opening.element
            if opening.cell in wanted and not passed_over:
                found.setdefault(opening.element, opening)
        return list(found.values())

    def dry(self) -> list[tuple[int, ...]]:
        """Return the sections that no source presses on and no kept use hangs on.

        Returns
        -------
        list of tuple of int
            Cells of each. [-]
        """
        standing, kept = self.standing, set(self.given.users.values())
        return [
            section
            for section in standing.cells
            if not kept & set(section)
            and not any(standing.sources_at(cell) for cell in section)
        ]

"""Replay a list, step by step, and say which rules it breaks and where first."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from maintenance.engine.figure import Warning
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.beginning import begin
from maintenance.engine.procedure.contents import Contents
from maintenance.engine.procedure.piping import Piping, lay_piping
from maintenance.engine.procedure.replay import Replay
from maintenance.engine.procedure.rules.registry import RULES
from maintenance.engine.procedure.rules.rule import Breach, Levels, Moment, Rule
from maintenance.engine.procedure.state import State
from maintenance.engine.procedure.step import Procedure, Step
from maintenance.engine.site import Site


@dataclass(frozen=True, slots=True)
class SectionChange:
    """What a section held before a step and after it."""

    section: str
    was: Contents
    is_: Contents

    def as_json(self) -> dict[str, object]:
        """Return the contract's object.

        Returns
        -------
        dict
            ``section``, ``was`` and ``is``. [-]
        """
        return {
            "section": self.section,
            "was": self.was.as_json(),
            "is": self.is_.as_json(),
        }


@dataclass(frozen=True, slots=True)
class CheckedStep:
    """A step, its number from 1, what it changed, and what it newly breaks.

    ``breaks`` pairs the key of a rule with a sentence; what stays broken is told at the
    step that broke it.
    """

    n: int
    step: Step
    state_after: tuple[SectionChange, ...]
    breaks: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class RuleCheck:
    """Whether a rule holds for the whole list.

    ``at_step`` is the number of the first step that breaks it, 0 where it was broken
    before the first step and no step makes it worse, None where it holds.
    """

    rule: Rule
    holds: bool
    at_step: int | None
    text: str

    def as_json(self) -> dict[str, object]:
        """Return the contract's object.

        Returns
        -------
        dict
            ``rule``, ``holds``, ``at_step`` and ``text``. [-]
        """
        return {
            "rule": self.rule.key,
            "holds": self.holds,
            "at_step": self.at_step,
            "text": self.text,
        }


@dataclass(frozen=True, slots=True)
class CheckedProcedure:
    """A list with what each step changes, what it breaks, and how it ends.

    ``warnings`` say what was broken as found, and which proof did not count.
    """

    procedure: Procedure
    steps: tuple[CheckedStep, ...]
    checks: tuple[RuleCheck, ...]
    start: State
    end: State
    warnings: tuple[Warning, ...]

    @property
    def broken(self) -> tuple[RuleCheck, ...]:
        """The rules that a step, or the end of the list, breaks."""
        return tuple(c for c in self.checks if c.at_step)


def check_procedure(
    site: Site,
    procedure: Procedure,
    *,
    agreed: Iterable[str] = (),
    start: State | None = None,
    rules: Sequence[Rule] = RULES,
    levels: Levels | None = None,
) -> CheckedProcedure:
    """Check a list of steps, whoever wrote it and in whatever order.

    Parameters
    ----------
    site : Site
        As recorded, checked. [-]
    procedure : Procedure
        The season and its steps; `dataclasses.replace` puts others in their place. [-]
    agreed : iterable of str, optional
        Other uses whose people agree to be without water. [-]
    start : State, optional
        Where it begins; default the summer's, for a start-up the winter's. [-]
    rules : sequence of Rule, optional
        Rules to check; default all. [-]
    levels : callable, optional
        Water levels left by gravity, from positions (see `Levels`). [-]

    Returns
    -------
    CheckedProcedure
        Steps, rules, start and end. [-]

    Raises
    ------
    InputError
        If a step moves what is not there, or too much at once.
    """
    return check_on(
        lay_piping(build_graph(site)),
        procedure,
        agreed=agreed,
        start=start,
        rules=rules,
        levels=levels,
    )


def check_on(
    piping: Piping,
    procedure: Procedure,
    *,
    agreed: Iterable[str] = (),
    start: State | None = None,
    rules: Sequence[Rule] = RULES,
    levels: Levels | None = None,
) -> CheckedProcedure:
    """Check a list on a site that is already laid out; see `check_procedure`.

    Parameters
    ----------
    piping : Piping
        The site; ``start`` must stand on the same one. [-]
    procedure, agreed, start, rules, levels
        As `check_procedure`. [-]

    Returns
    -------
    CheckedProcedure
        Steps, rules, start and end. [-]

    Raises
    ------
    InputError
        If a step moves what is not there, or too much at once.
    """
    first = start or begin(piping, procedure.season)
    moment = Moment(
        procedure.season, first, first, None, first, frozenset(agreed), levels
    )
    watch = _Watch(rules, moment)
    replay = Replay(piping, first)
    steps: list[CheckedStep] = []
    for n, step in enumerate(procedure.steps, start=1):
        before = replay.state
        broken: dict[tuple[str, str], None] = {}
        for was, is_ in replay.do(n, step):
            now = replace(moment, before=was, step=step, after=is_)
            broken.update(dict.fromkeys(watch.look(n, now)))
        changes = _section_changes(before, replay.state)
        steps.append(CheckedStep(n, step, changes, tuple(broken)))
    last = replay.state
    ending = replace(moment, before=last, step=None, after=last)
    watch.look_at_end(len(steps), ending)
    return CheckedProcedure(
        procedure,
        tuple(steps),
        watch.checks(),
        first,
        last,
        (*watch.as_found(), *replay.warnings),
    )


class _Watch:
    """Keeps, for each rule, what was broken before the list and what breaks first."""

    def __init__(self, rules: Sequence[Rule], moment: Moment) -> None:
        self.rules = rules
        self.found = {rule.key: _broken(rule, moment) for rule in rules}
        self.standing = {key: set(each) for key, each in self.found.items()}
        self.first: dict[str, tuple[int, str]] = {}
        self.now = {key: set(each) for key, each in self.found.items()}

    def look(self, n: int, moment: Moment) -> list[tuple[str, str]]:
        """Check one change and return (rule, text) of what it newly breaks."""
        new = []
        for rule in self.rules:
            broken = _broken(rule, moment)
            # What was so before the list is its own finding, as long as it lasts.
            self.standing[rule.key] &= set(broken)
            for key, breach in broken.items():
                if key in self.standing[rule.key]:
                    continue
                self.first.setdefault(rule.key, (n, breach.text))
                if key not in self.now[rule.key]:
                    new.append((rule.key, breach.text))
            self.now[rule.key] = set(broken)
        return new

    def look_at_end(self, n: int, moment: Moment) -> None:
        for rule in self.rules:
            for breach in rule.at_end(moment) if rule.at_end else ():
                self.first.setdefault(rule.key, (n, breach.text))

    def checks(self) -> tuple[RuleCheck, ...]:
        return tuple(self._check(rule) for rule in self.rules)

    def _check(self, rule: Rule) -> RuleCheck:
        if rule.key in self.first:
            n, text = self.first[rule.key]
            return RuleCheck(rule, False, n, text)
        for breach in self.found[rule.key].values():
            text = f"As found, before the first step: {breach.text}"
            return RuleCheck(rule, False, 0, text)
        return RuleCheck(rule, True, None, rule.text)

    def as_found(self) -> tuple[Warning, ...]:
        return tuple(
            Warning("as_found", f"{rule.key}, as found: {breach.text}", key)
            for rule in self.rules
            for key, breach in self.found[rule.key].items()
        )


def _broken(rule: Rule, moment: Moment) -> dict[tuple[str, ...], Breach]:
    found: dict[tuple[str, ...], Breach] = {}
    for breach in rule.check(moment) if rule.check else ():
        found.setdefault(breach.key, breach)
    return found


def _section_changes(before: State, after: State) -> tuple[SectionChange, ...]:
    found = []
    for section in after.standing.cells:
        if all(before.contents[cell] is after.contents[cell] for cell in section):
            continue
        was, is_ = before.section(section), after.section(section)
        if was != is_:
            found.append(SectionChange(after.standing.name(section[0]), was, is_))
    return tuple(sorted(found, key=lambda change: change.section))

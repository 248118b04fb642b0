"""Half a day left: which steps of a list first, what comes along, what can wait."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Final

from maintenance.engine.errors import InputError
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.checker import CheckedProcedure, check_on
from maintenance.engine.procedure.exposure_order import (
    AFTER_ALL,
    REST,
    SERVICE,
    Exposures,
    class_of,
    place_of,
)
from maintenance.engine.procedure.picking import Picker, Spare
from maintenance.engine.procedure.piping import lay_piping
from maintenance.engine.procedure.rehearsal import Rehearsal
from maintenance.engine.procedure.rules.registry import RULES
from maintenance.engine.procedure.state import State
from maintenance.engine.procedure.step import Procedure, Step
from maintenance.engine.site import Site
from maintenance.engine.site.card import site_from_card

LONGEST_HOURS: Final = 24.0
_WHILE_RUNNING: Final = tuple(replace(rule, at_end=None) for rule in RULES)
"""The rules without what they ask of a finished list: this one is not finished."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """A step for today; ``exposure`` is the key of its class, empty where it has none.

    ``needed`` says that it is here because a later one breaks a rule without it, or
    goes with it.
    """

    step: Step
    exposure: str
    needed: bool
    why: str


@dataclass(frozen=True, slots=True)
class Waiting:
    """A step that can wait, and why."""

    step: Step
    exposure: str
    why: str


@dataclass(frozen=True, slots=True)
class HalfDay:
    """What fits into the time that is left.

    ``procedure`` holds the steps for today in the order of the list, ``checked`` its
    check against the rules that hold while it runs; ``unfinished`` what a finished list
    would not leave so. Minutes are those of one person each, ``clock_minutes`` those
    that pass however many people stand by.
    """

    hours: float
    people: int
    frost_tonight: bool
    minutes_available: float
    minutes_used: float
    clock_minutes: float
    first: tuple[Chosen, ...]
    waits: tuple[Waiting, ...]
    procedure: Procedure
    checked: CheckedProcedure
    unfinished: tuple[str, ...]

    @property
    def sentence(self) -> str:
        """The answer in one sentence."""
        people = "1 person has" if self.people == 1 else f"{self.people} people have"
        return (
            f"{len(self.first)} steps take {self.minutes_used:.0f} of the "
            f"{self.minutes_available:.0f} minutes that {people}; "
            f"{len(self.waits)} can wait."
        )

    def as_json(self) -> dict[str, object]:
        """Return what a command adds to the list of today.

        Returns
        -------
        dict
            The question, the minutes, why each step is here, what waits and why. [-]
        """
        return {
            "hours": self.hours,
            "people": self.people,
            "frost_tonight": self.frost_tonight,
            "minutes_available": self.minutes_available,
            "minutes_used": self.minutes_used,
            "clock_minutes": self.clock_minutes,
            "first": [
                {"key": e.step.key, "exposure": e.exposure or None, "needed": e.needed}
                for e in self.first
            ],
            "waits": [
                {"key": e.step.key, "exposure": e.exposure or None, "why": e.why}
                for e in self.waits
            ],
            "unfinished": list(self.unfinished),
        }


def half_a_day(
    site: Site,
    procedure: Procedure,
    *,
    hours: float,
    people: int,
    frost_tonight: bool,
    start: State | None = None,
    agreed: Iterable[str] = (),
) -> HalfDay:
    """Choose what of a list is done when the time does not reach for all of it.

    Parameters
    ----------
    site : Site
        As recorded, checked. [-]
    procedure : Procedure
        The list, which breaks no rule as a whole. [-]
    hours : float
        Time left, at most a day. [h]
    people : int
        How many work. [-]
    frost_tonight : bool
        With frost the most exposed parts come first; without it the work goes from the
        head of the list on, so that nothing is done twice. A list that fills the site
        is cut from its head, and lets no water in before a frosty night. [-]
    start : State, optional
        Where the list begins; default as for the checker. [-]
    agreed : iterable of str, optional
        Other uses whose people agree to be without water. [-]

    Returns
    -------
    HalfDay
        The chosen steps, in the order of the list, break no rule while they are
        carried out, and take no more than the minutes that there are. [-]

    Raises
    ------
    InputError
        If there is no time or nobody, or the list itself breaks a rule.

    Notes
    -----
    Classes of `exposure_order.ORDER` one after the other, in each as many parts in the
    order of the list as fit with what they need. Needed is what the checker asks for,
    and what is set or looked at before it.
    """
    _refuse(hours, people)
    piping = lay_piping(build_graph(site_from_card(site)))
    exposures = Exposures(piping)
    minutes = hours * 60.0
    rehearsal = Rehearsal(piping, procedure, start, frozenset(agreed))
    picker = Picker(procedure, rehearsal, Spare(minutes * people, minutes))
    if picker.breaks(frozenset(range(len(procedure.steps)))):
        raise InputError(
            "the list breaks a rule as it stands; mend it before you shorten it"
        )
    drains = procedure.season == "shutdown"
    classes = [
        exposures.class_of_step(step) if drains else REST for step in procedure.steps
    ]
    if drains:
        groups = _groups(exposures, procedure, classes, frost_tonight=frost_tonight)
        for level in groups:
            picker.take(level)
    else:
        picker.take_in_order(_blocks(procedure, frost_tonight=frost_tonight))
    today = picker.procedure()
    checked = check_on(piping, today, agreed=agreed, start=start, rules=_WHILE_RUNNING)
    ended = check_on(piping, today, agreed=agreed, start=start)
    return HalfDay(
        hours,
        people,
        frost_tonight,
        minutes * people,
        picker.minutes(picker.chosen),
        picker.clock_minutes(picker.chosen),
        *_sorted(picker, classes, frost_tonight=frost_tonight),
        today,
        checked,
        tuple(check.text for check in ended.checks if not check.holds),
    )


def _refuse(hours: float, people: int) -> None:
    if not (math.isfinite(hours) and 0.0 < hours <= LONGEST_HOURS):
        raise InputError(
            "hours: the time left must be above 0 and at most 24 hours; write 4 for "
            "half a day",
            input="hours",
        )
    if people < 1:
        raise InputError(
            "people: at least one person must work; write 1 for yourself",
            input="people",
        )


def _groups(
    exposures: Exposures,
    procedure: Procedure,
    classes: list[str],
    *,
    frost_tonight: bool,
) -> list[list[tuple[int, ...]]]:
    """Return the steps that belong together, by level, in the order of the list."""
    levels: dict[int, dict[str, list[int]]] = {}
    for number, (step, key) in enumerate(zip(procedure.steps, classes, strict=True)):
        place = place_of(key) + (key == REST)
        group = exposures.group_of_step(step)
        if not frost_tonight:
            place = AFTER_ALL + 2 * (key == SERVICE)
            group = f"row {step.row}" if step.row is not None else f"step {number}"
        levels.setdefault(place, {}).setdefault(group, []).append(number)
    return [sorted(map(tuple, groups.values())) for _, groups in sorted(levels.items())]


def _blocks(procedure: Procedure, *, frost_tonight: bool) -> list[tuple[int, ...]]:
    """Return the steps of a list that fills the site, by heading, as far as they go."""
    numbered = list(enumerate(procedure.steps))
    blocks = [
        tuple(number for number, _ in group)
        for _, group in groupby(numbered, key=lambda each: each[1].block)
    ]
    if not frost_tonight:
        return blocks
    wet = [n for n, block in enumerate(blocks) if _fills(procedure, block)]
    return blocks[: wet[0]] if wet else blocks


def _fills(procedure: Procedure, block: tuple[int, ...]) -> bool:
    return any(procedure.steps[number].act == "fill" for number in block)


def _sorted(
    picker: Picker, classes: list[str], *, frost_tonight: bool
) -> tuple[tuple[Chosen, ...], tuple[Waiting, ...]]:
    chosen, waits = [], []
    for number, step in enumerate(picker.steps):
        key = classes[number] if class_of(classes[number]) else ""
        if number in picker.chosen:
            needed = number not in picker.goals
            why = _why(key, needed=needed, tidies=number in picker.tidying)
            chosen.append(Chosen(step, key, needed, why))
        else:
            why = _why_not(key, picker.whole, frost_tonight=frost_tonight)
            waits.append(Waiting(step, key, why))
    return tuple(chosen), tuple(waits)


def _why(key: str, *, needed: bool, tidies: bool) -> str:
    if needed:
        tidy = "So that nothing is left otherwise than the list leaves it."
        return tidy if tidies else "A later step needs it."
    found = class_of(key)
    return found.why if found is not None else "There is time for it."


def _why_not(key: str, whole: Procedure, *, frost_tonight: bool) -> str:
    if whole.season != "shutdown":
        if frost_tonight:
            return "No water goes in before a night with frost."
        return "It rests on what comes before it, and there is no time for all of that."
    found = class_of(key)
    if found is None:
        return "Nothing freezes for want of it."
    if not frost_tonight:
        return f"No frost tonight, and no time left. {found.why}"
    return f"No time left for it. {found.why}"

"""A rule on when an assembly is to be tested, inspected or overhauled.

One rule is one sentence of a law or a utility: one trigger, and what follows from it.
Those that ship are rows of ``rules.csv``; one that an account adds is the same value.
"""

import re
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal, get_args

from maintenance.engine.backflow.due.deadline import Deadline
from maintenance.engine.backflow.due.facts import Facts, Hazard
from maintenance.engine.backflow.readings import Device
from maintenance.engine.calendar.anchors import Period
from maintenance.engine.errors import InputError

Duty = Literal["test", "inspection", "overhaul"]
Mark = Literal["read", "secondary", "from memory"]
AfterEvent = Literal[
    "installed",
    "repaired",
    "relocated",
    "removed",
    "reinstalled",
    "frozen",
    "incident",
]
OtherTrigger = Literal[
    "anniversary",
    "even_years",
    "odd_years",
    "fixed_dates",
    "turned_on",
    "idle",
    "interval_not_known",
]
Trigger = AfterEvent | OtherTrigger
AFTER_EVENT: Final[tuple[AfterEvent, ...]] = get_args(AfterEvent)
OTHER_TRIGGERS: Final[tuple[OtherTrigger, ...]] = get_args(OtherTrigger)
_REF: Final = re.compile(r"([a-z0-9]+(?:-[a-z0-9]+)*|[a-z0-9 ]+)/([1-9]\d{0,5})")


@dataclass(frozen=True, slots=True, order=True)
class RuleRef:
    """One version of a rule; its text is ``id/version``."""

    id: str
    version: int

    def __str__(self) -> str:
        return f"{self.id}/{self.version}"

    @classmethod
    def parse(cls, text: str) -> "RuleRef":
        """Read ``id/version``.

        Parameters
        ----------
        text : str
            Such as ``washington-yearly/1`` [text].

        Returns
        -------
        RuleRef
            The version named [-].

        Raises
        ------
        InputError
            If it cannot be read.
        """
        match = _REF.fullmatch(text.strip())
        if match is None:
            raise InputError(
                f'"{text[:60]}" names no version of a rule; write one like '
                '"washington-yearly/1"',
                input="rule",
            )
        return cls(match[1], int(match[2]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """To which assemblies a rule is limited; empty or None: it does not ask.

    ``size_up_to_m`` is included, ``size_above_m`` is not; ``months_below`` is how many
    months of use a year stay below, ``months_from`` how many it takes.
    """

    kinds: frozenset[Device] = frozenset()
    hazards: frozenset[Hazard] = frozenset()
    irrigation: bool | None = None
    residential: bool | None = None
    chemicals: bool | None = None
    size_up_to_m: float | None = None
    size_above_m: float | None = None
    months_below: int | None = None
    months_from: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One version of one rule.

    ``place`` is the key that its rules share, empty for a plain interval. ``period``
    goes with ``anniversary`` and ``idle``, ``dates`` (month, day) with ``fixed_dates``;
    ``counts_from_days`` is how long before such a date a test counts for it. ``within``
    is how long after an event the test may wait; with ``before_service`` it must come
    first. Reports run from the test by its result, repair from a failed one. ``checked``
    is the day on which the row was compared with its source.
    """

    id: str
    version: int = 1
    trigger: Trigger
    duty: Duty = "test"
    place: str = ""
    place_name: str = ""
    limits: Limits = Limits()
    period: Period | None = None
    dates: tuple[tuple[int, int], ...] = ()
    counts_from_days: int | None = None
    within: Deadline | None = None
    before_service: bool = False
    report_passed: Deadline | None = None
    report_failed: Deadline | None = None
    repair_failed: Deadline | None = None
    who: str = ""
    source: str
    checked: date | None = None
    mark: Mark = "read"
    note: str = ""
    superseded_by: RuleRef | None = None

    def __post_init__(self) -> None:
        if self.trigger in ("anniversary", "idle") and self.period is None:
            raise InputError(f"{self.id}: {self.trigger} needs a period", input="rule")
        if self.trigger == "fixed_dates" and not self.dates:
            raise InputError(f"{self.id}: fixed dates are missing", input="rule")

    @property
    def ref(self) -> RuleRef:
        """Its id and version [-]."""
        return RuleRef(self.id, self.version)


def applies(rule: Rule, facts: Facts) -> bool:
    """Whether a rule may apply to an assembly.

    Parameters
    ----------
    rule : Rule
        The rule [-].
    facts : Facts
        What is known of the assembly [-].

    Returns
    -------
    bool
        False only where a fact that is known speaks against it [-].

    Examples
    --------
    >>> double = Rule(id="a", trigger="installed", source="made up",
    ...     limits=Limits(kinds=frozenset({"DC"})))
    >>> applies(double, Facts()), applies(double, Facts(kind="RP"))
    (True, False)
    """
    limits, use = rule.limits, facts.use
    return (
        _among(facts.kind, limits.kinds)
        and _among(facts.hazard, limits.hazards)
        and _same(use.irrigation, limits.irrigation)
        and _same(use.residential, limits.residential)
        and _same(use.chemicals, limits.chemicals)
        and _between(facts.size_m, limits.size_above_m, limits.size_up_to_m)
        and _months(facts.months_used, limits)
    )


def _among(known: str | None, wanted: Collection[str]) -> bool:
    return known is None or not wanted or known in wanted


def _same(known: bool | None, wanted: bool | None) -> bool:
    return known is None or wanted is None or known == wanted


def _between(known: float | None, above: float | None, up_to: float | None) -> bool:
    return known is None or (
        (above is None or known > above) and (up_to is None or known <= up_to)
    )


def _months(known: int | None, limits: Limits) -> bool:
    below, start = limits.months_below, limits.months_from
    return known is None or (
        (below is None or known < below) and (start is None or known >= start)
    )

"""What an answer of the worksheet on due dates took for granted, in sentences."""

from collections.abc import Iterator
from dataclasses import dataclass

from maintenance.engine.backflow.due.deadline import Deadline
from maintenance.engine.backflow.due.facts import Facts
from maintenance.engine.backflow.due.next_due import Due
from maintenance.engine.backflow.due.rule import Rule, applies
from maintenance.engine.figure import Warning


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One answer and what it was made from.

    ``rules`` are those that apply among the ``candidates`` of the place; ``given`` names
    the inputs besides rule, test and result; ``result`` is empty without a test.
    """

    named: Rule
    winner: Rule
    rules: tuple[Rule, ...]
    candidates: tuple[Rule, ...]
    due: Due
    given: frozenset[str]
    facts: Facts
    use_text: str
    result: str
    interval_not_known: bool
    has_time: bool
    has_offset: bool


def notes(case: Case) -> tuple[Warning, ...]:
    """Return the notes on an answer.

    Parameters
    ----------
    case : Case
        The answer and what it was made from [-].

    Returns
    -------
    tuple of Warning
        Source first, then what was assumed or left out [text].
    """
    return tuple(
        Warning(code, text, ("next_due",))
        for part in (_source, _not_known, _deadlines, _left_out)
        for code, text in part(case)
    )


def _source(case: Case) -> Iterator[tuple[str, str]]:
    winner, named = case.winner, case.named
    if winner.checked:
        yield (
            "source",
            f"Source of {winner.id}, checked on {winner.checked}: {winner.source}.",
        )
    if winner.mark != "read":
        mark = "from memory" if winner.mark == "from memory" else "second-hand"
        yield "doubtful_source", f"{winner.id} is {mark}: have it confirmed."
    if winner.note:
        yield "note", winner.note
    if not applies(named, case.facts):
        yield "not_this_rule", f"{named.id} does not apply to what was given."
    if case.interval_not_known:
        yield (
            "interval_not_known",
            f"How often {named.place_name} asks for a test besides is not known here.",
        )


def _not_known(case: Case) -> Iterator[tuple[str, str]]:
    limits = [rule.limits for rule in case.candidates]
    by_size = any(each.size_up_to_m or each.size_above_m for each in limits)
    if by_size and case.facts.size_m is None:
        yield "size_not_given", "The size is not given: the earlier date is taken."
    by_use = any(
        each.residential is not None or each.chemicals is not None for each in limits
    )
    use = case.facts.use
    if by_use and use.irrigation and None in (use.residential, use.chemicals):
        yield (
            "use_not_given",
            "The use is not given in full: the earlier date is taken.",
        )
    elif by_use and use.irrigation and "chemicals" not in case.use_text:
        yield (
            "no_chemicals",
            'Taken as without chemicals fed in; else write "with chemicals".',
        )


def _deadlines(case: Case) -> Iterator[tuple[str, str]]:
    units = {deadline.unit for deadline in _used(case)}
    if "business_days" in units and "holidays" not in case.given:
        yield "no_holidays", "No holidays are given: only weekends are left out."
    if "hours" in units and not case.has_time:
        yield (
            "no_time",
            "Only the date of the test is given: hours run from its start.",
        )
    elif "hours" in units and not case.has_offset:
        yield (
            "no_offset",
            "Clocks are taken not to change meanwhile; else add the offset (-06:00).",
        )


def _used(case: Case) -> Iterator[Deadline]:
    for rule in case.rules:
        of_test = {
            "passed": (rule.report_passed,),
            "failed": (rule.report_failed, rule.repair_failed),
        }
        for deadline in (*of_test.get(case.result, ()), rule.within):
            if deadline is not None:
                yield deadline


def _left_out(case: Case) -> Iterator[tuple[str, str]]:
    triggers = {rule.trigger for rule in case.candidates}
    limits = [rule.limits for rule in case.candidates]
    asked = {
        "installed": True,
        "reinstalled": "reinstalled" in triggers,
        "last_used": "idle" in triggers,
        "in_service": bool({"idle", "turned_on"} & triggers),
        "size": any(each.size_up_to_m or each.size_above_m for each in limits),
        "use": any(
            value is not None
            for each in limits
            for value in (each.irrigation, each.residential, each.chemicals)
        ),
        "holidays": any(each.unit == "business_days" for each in _used(case)),
    }
    names = [name for name, used in asked.items() if name in case.given and not used]
    if names:
        yield (
            "left_out",
            f"{' and '.join(names)}: no rule used here asks for this.",
        )

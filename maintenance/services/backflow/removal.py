"""What happens to the dates of an assembly if it is taken out, and once it is back."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from maintenance.engine.backflow.due.events import Event
from maintenance.engine.backflow.due.next_due import Due
from maintenance.engine.backflow.due.rule import Rule
from maintenance.services.backflow.due import Assembly, DueState, every_rule, state_of
from maintenance.services.errors import ServiceError


@dataclass(frozen=True, slots=True)
class Said:
    """What a rule says on a day, and the state that this is on that day."""

    due: Due
    state: DueState


@dataclass(frozen=True, slots=True)
class RuleOutlook:
    """What one rule says if the assembly stays, while it is out, and once it is back."""

    rule: Rule | None
    stays: Said
    out: Said
    back: Said


@dataclass(frozen=True, slots=True)
class Removal:
    """The answer, with the days that it is for; ``is_out`` if it is out already."""

    out_on: date
    back_on: date
    is_out: bool
    rules: tuple[RuleOutlook, ...]


def out_on(events: Sequence[Event]) -> date | None:
    """Return since when an assembly is out, None if it is in place."""
    moved = [e for e in events if e.kind in ("removed", "reinstalled")]
    return moved[-1].on if moved and moved[-1].kind == "removed" else None


def if_removed(
    assembly: Assembly,
    rules: Sequence[Rule],
    *,
    today: date,
    taken_out: date,
    put_back: date,
) -> Removal:
    """Return what every rule says with and without a removal.

    One that is out already was taken out when that is on record.

    Raises
    ------
    ServiceError
        If it would be put back before it is taken out.
    """
    since = out_on(assembly.events)
    here = assembly
    if since is not None:
        last = max(n for n, e in enumerate(assembly.events) if e.kind == "removed")
        kept = assembly.events[:last] + assembly.events[last + 1 :]
        here = replace(assembly, events=kept)
        taken_out = since
    if put_back < taken_out:
        raise ServiceError(
            f"It cannot be put back on {put_back}, before it is taken out on "
            f"{taken_out}: write a later day."
        )
    removed = Event("removed", taken_out)
    stays = every_rule(here, rules, today)
    out = _by_rule(every_rule(here, rules, max(taken_out, today), removed))
    back = _by_rule(
        every_rule(
            here,
            rules,
            max(put_back, today),
            removed,
            Event("reinstalled", put_back),
        )
    )
    return Removal(
        taken_out,
        put_back,
        since is not None,
        tuple(
            RuleOutlook(
                rule,
                Said(due, state_of(due, today)),
                _said(out[due.rule], max(taken_out, today)),
                _said(back[due.rule], max(put_back, today)),
            )
            for rule, due in stays
        ),
    )


def _by_rule(found: list[tuple[Rule | None, Due]]) -> dict[object, Due]:
    return {due.rule: due for _, due in found}


def _said(due: Due, day: date) -> Said:
    return Said(due, state_of(due, day))

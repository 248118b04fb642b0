"""What the check of a list says, and beside which step it is to be read."""

from collections.abc import Mapping
from dataclasses import dataclass

from maintenance.engine.errors import EngineError
from maintenance.engine.procedure.checker import CheckedProcedure
from maintenance.engine.site import Site
from maintenance.services.seasons.checked import check_list, checked_lines
from maintenance.services.seasons.kept_list import StepLine, WholeList


@dataclass(frozen=True, slots=True)
class Broken:
    """A rule that a step breaks: its short name, what breaks it, where it is from."""

    key: str
    name: str
    text: str
    rule: str
    source: str


@dataclass(frozen=True, slots=True)
class Marks:
    """The check in words, and what is broken, by number of the step's row.

    ``checked`` is None where it could not be; ``at_end`` is what only shows once the list is done; ``as_found`` was so before.
    """

    answer: str
    checked: CheckedProcedure | None
    at_step: Mapping[int, tuple[Broken, ...]]
    at_end: tuple[Broken, ...] = ()
    as_found: tuple[str, ...] = ()
    first: StepLine | None = None

    @property
    def holds(self) -> bool:
        """Whether it was checked and breaks no rule."""
        return self.checked is not None and not self.checked.broken


def marks_of(site: Site, whole: WholeList) -> Marks:
    """Check a list as it stands and put what is broken beside its steps."""
    try:
        checked = check_list(site, whole)
    except EngineError as refusal:
        text = f"Not checked: {str(refusal).rstrip('.')}."
        return Marks(text, None, {})
    lines = checked_lines(whole)
    rules = {check.rule.key: check.rule for check in checked.checks}
    at_step: dict[int, tuple[Broken, ...]] = {}
    for line, step in zip(lines, checked.steps, strict=True):
        if step.breaks:
            at_step[line.id] = tuple(
                Broken(key, rules[key].name, text, rules[key].text, rules[key].source)
                for key, text in step.breaks
            )
    told = {broken.key for each in at_step.values() for broken in each}
    at_end = tuple(
        Broken(c.rule.key, c.rule.name, c.text, c.rule.text, c.rule.source)
        for c in checked.broken
        if c.rule.key not in told
    )
    first = next((line for line in lines if line.id in at_step), None)
    return Marks(
        answer=_answer(checked, first),
        checked=checked,
        at_step=at_step,
        at_end=at_end,
        as_found=tuple(warning.text for warning in checked.warnings),
        first=first,
    )


def _answer(checked: CheckedProcedure, first: StepLine | None) -> str:
    count, broken = len(checked.checks), len(checked.broken)
    text = f"Checked against {count} rules: "
    if not broken:
        return f"{text}it breaks none."
    text += f"it breaks {broken} of them"
    if first is None:
        return f"{text}, at its end."
    return f"{text}, first at step {first.number}."

"""A seasonal list as plain text, for a terminal or to print as it is."""

import math
import textwrap
from collections.abc import Iterable, Sequence
from itertools import groupby

from maintenance.documents.row_words import minutes
from maintenance.documents.water_words import answer_words
from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.procedure.checker import CheckedStep, RuleCheck
from maintenance.engine.procedure.report import ReportedList
from maintenance.engine.units import UnitSystem

WIDTH = 92
_TITLES = {
    "shutdown": "Shutdown list",
    "startup": "Start-up list",
    "frost_night": "Card for a frost night",
    "frost_undo": "Card for the morning after",
}
_INDENT = " " * 10


def procedure_text(
    reported: ReportedList, *, sheet: Sheet | None = None, system: UnitSystem = "us"
) -> str:
    """Write what stays open, the steps in their blocks, and the check."""
    sources = _sources(reported)
    blocks = [
        _heading(reported, sheet),
        _stays_open(reported),
        _listed("Notes of this site", reported.site.notes),
        *_steps(reported, sources),
        _water(reported, system),
        _listed("Look at", (each.text for each in reported.warnings)),
        _checks(reported.checked.checks),
        _listed_sources(sources),
    ]
    return "\n\n".join(block for block in blocks if block)


def _heading(reported: ReportedList, sheet: Sheet | None) -> str:
    checked = reported.checked
    title = f"{_TITLES[checked.procedure.season]}: {reported.site.name}"
    if sheet is not None:
        title += f", compressor {sheet.compressor}"
    total = sum(step.minutes for step in checked.procedure.steps)
    count = len(checked.steps)
    text = (
        f"{count} step{'s' if count != 1 else ''}, about {minutes(total * 60)} for one "
        f"person. {_verdict(checked.checks)}"
    )
    return f"{title}\n\n{textwrap.fill(text, WIDTH)}"


def _verdict(checks: Sequence[RuleCheck]) -> str:
    count = len(checks)
    broken = [check for check in checks if check.at_step]
    if not broken:
        return f"Checked against {count} rules: no step breaks one."
    told = ", ".join(f"{check.rule.key} at step {check.at_step}" for check in broken)
    return f"Checked against {count} rules; broken: {told}. See the end."


def _stays_open(reported: ReportedList) -> str:
    stays = reported.checked.procedure.stays_open
    if not stays:
        return ""
    width = max(len(each.id) for each in stays)
    lines = [f"  {each.id.ljust(width)}  {each.why}" for each in stays]
    return "\n".join(("STAYS OPEN: do not shut these", *lines))


def _steps(reported: ReportedList, sources: Sequence[str]) -> list[str]:
    steps = reported.checked.steps
    return [
        "\n".join((block or "Steps", *(_step(each, sources) for each in group)))
        for block, group in groupby(steps, key=lambda each: each.step.block)
    ]


def _step(each: CheckedStep, sources: Sequence[str]) -> str:
    step = each.step
    number = sources.index(step.source) + 1
    lines = [_wrapped(f"[ ] {each.n:3d}  ", f"{step.text} [{number}]")]
    if step.why and step.row is None:
        lines.append(_wrapped(_INDENT, f"Why: {step.why}"))
    lines += [_wrapped(_INDENT, f"Caution: {caution}") for caution in step.cautions]
    lines += [
        _wrapped(_INDENT, f"BREAKS RULE {rule}: {text}") for rule, text in each.breaks
    ]
    return "\n".join(lines)


def _wrapped(first: str, text: str) -> str:
    return textwrap.fill(
        text,
        WIDTH,
        initial_indent=f"  {first}" if first != _INDENT else f"  {_INDENT}",
        subsequent_indent=f"  {_INDENT}",
        break_on_hyphens=False,
    )


def _water(reported: ReportedList, system: UnitSystem) -> str:
    if reported.left is None:
        return ""
    text = answer_words(reported.left, system)
    figure = reported.left.figures["trapped_m3"]
    lines = [
        textwrap.fill(text, WIDTH, initial_indent="  ", subsequent_indent="  "),
        textwrap.fill(
            f"An estimate. {figure.method}",
            WIDTH,
            initial_indent="  ",
            subsequent_indent="  ",
        ),
    ]
    return "\n".join(("Where water is left", *lines))


def _checks(checks: Sequence[RuleCheck]) -> str:
    lines = [f"Checked against {len(checks)} rules"]
    for check in checks:
        word = "holds"
        if not check.holds:
            at = f"step {check.at_step}" if check.at_step else "as found"
            word = f"broken, {at}: {check.text}"
        lines.append(
            textwrap.fill(
                f"{check.rule.key.ljust(3)}  {check.rule.name}: {word}",
                WIDTH,
                initial_indent="  ",
                subsequent_indent=" " * 7,
            )
        )
    return "\n".join(lines)


def _sources(reported: ReportedList) -> list[str]:
    steps = reported.checked.procedure.steps
    return list(dict.fromkeys(step.source for step in steps))


def _listed_sources(sources: Sequence[str]) -> str:
    width = math.ceil(math.log10(len(sources) + 1))
    lines = [f"  [{n:{width}d}] {source}" for n, source in enumerate(sources, start=1)]
    return "\n".join(("Where the steps come from", *lines)) if sources else ""


def _listed(title: str, texts: Iterable[str]) -> str:
    lines = [
        textwrap.fill(text, WIDTH, initial_indent="  - ", subsequent_indent="    ")
        for text in texts
    ]
    return "\n".join((title, *lines)) if lines else ""

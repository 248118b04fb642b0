"""What is due as a table for a spreadsheet, which must take no text for a formula."""

from collections.abc import Iterable
from typing import Any, Final

from maintenance.engine.backflow.verdict_words import RESULT_WORDS
from maintenance.exchange.csv_cells import csv_text
from maintenance.services.backflow.due import Deadline, DueLine

COLUMNS: Final = (
    *("site", "site_name", "assembly", "kind", "size", "serial", "place"),
    *("state", "due", "days_left", "duty", "why"),
    *("rule", "rule_source", "rule_checked", "rule_mark"),
    *("last_test", "result", "report_by", "report_filed", "report_rule"),
    *("repair_by", "repair_rule"),
)


def csv_of_due(lines: Iterable[DueLine]) -> str:
    """Write what is due, one assembly a line; the only number is that of days."""
    return csv_text(
        COLUMNS, [_texts(line) | {"days_left": line.days} for line in lines]
    )


def _texts(line: DueLine) -> dict[str, Any]:
    assembly, rule, tested = line.assembly, line.rule, line.tested
    report, repair = line.report, line.repair
    return {
        "site": assembly.site_key,
        "site_name": assembly.site_name,
        "assembly": assembly.link,
        "kind": assembly.kind,
        "size": assembly.size,
        "serial": assembly.serial,
        "place": assembly.stated.place,
        "state": line.state.replace("_", " "),
        "due": line.due.isoformat() if line.due else "",
        "duty": line.duty,
        "why": line.why,
        "rule": str(rule.ref) if rule else "",
        "rule_source": rule.source if rule else "",
        "rule_checked": rule.checked.isoformat() if rule and rule.checked else "",
        "rule_mark": rule.mark if rule else "",
        "last_test": tested.at.isoformat() if tested else "",
        "result": RESULT_WORDS[tested.result] if tested else "",
        "report_by": report.by.isoformat() if report else "",
        "report_filed": (
            report.done_on.isoformat() if report and report.done_on else ""
        ),
        "report_rule": _rule(report),
        "repair_by": repair.by.isoformat() if repair else "",
        "repair_rule": _rule(repair),
    }


def _rule(deadline: Deadline | None) -> str:
    return str(deadline.rule.ref) if deadline and deadline.rule else ""

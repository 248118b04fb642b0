"""Rules as rows of a CSV file, and back: one row is one version of one rule."""

import csv
import io
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, fields
from datetime import date
from typing import Any, Final, get_args

from maintenance.engine.backflow.due.deadline import parse_deadline
from maintenance.engine.backflow.due.facts import Hazard, nominal_size_m
from maintenance.engine.backflow.due.rule import (
    AFTER_EVENT,
    OTHER_TRIGGERS,
    Duty,
    Limits,
    Mark,
    Rule,
    RuleRef,
)
from maintenance.engine.backflow.readings import DEVICES
from maintenance.engine.calendar.anchors import Period
from maintenance.engine.errors import InputError

_ID: Final = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
_PERIOD: Final = re.compile(r"([1-9]\d{0,3}) (day|week|month|year)s?", re.ASCII)
_DAY: Final = re.compile(r"(\d\d)-(\d\d)", re.ASCII)
_LEAP_YEAR: Final = 2024


@dataclass(frozen=True, slots=True)
class _Cell:
    """How a cell is read and written; an empty one leaves the default."""

    read: Callable[[str], Any]
    write: Callable[[Any], str]


def _word(*words: str) -> _Cell:
    def read(text: str) -> str:
        if text not in words:
            raise InputError(f'"{text[:40]}" is none of {", ".join(words)}')
        return text

    return _Cell(read, str)


def _several(*words: str) -> _Cell:
    one = _word(*words)
    return _Cell(
        lambda text: frozenset(one.read(word.strip()) for word in text.split(";")),
        lambda kept: ";".join(word for word in words if word in kept),
    )


def _count(text: str) -> int:
    if not re.fullmatch(r"[1-9]\d{0,5}", text, re.ASCII):
        raise InputError(f'"{text[:40]}" is no count; write a whole number from 1 up')
    return int(text)


def _id(text: str) -> str:
    if not _ID.fullmatch(text):
        raise InputError(f'"{text[:40]}" is no id; write one like "my-town-yearly"')
    return text


def _period(text: str) -> Period:
    match = _PERIOD.fullmatch(text)
    if match is None:
        raise InputError(f'"{text[:40]}" is no period; write one like "6 months"')
    return Period(int(match[1]), f"{match[2]}s")  # type: ignore[arg-type]


def _days(text: str) -> tuple[tuple[int, int], ...]:
    days = []
    for entry in text.split(";"):
        match = _DAY.fullmatch(entry.strip())
        try:
            day = date(_LEAP_YEAR, int(match[1]), int(match[2])) if match else None
        except ValueError:
            day = None
        if day is None:
            raise InputError(
                f'"{entry[:40]}" is no day of the year; write one like "06-30"'
            )
        days.append((day.month, day.day))
    return tuple(sorted(set(days)))


def _checked(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise InputError(
            f'"{text[:40]}" is no date; write one like "2026-11-25"'
        ) from error


_TEXT: Final = _Cell(str, str)
_YES: Final = _Cell(
    lambda text: _word("yes", "no").read(text) == "yes",
    lambda kept: "yes" if kept else "no",
)
_SIZE: Final = _Cell(nominal_size_m, lambda kept: f"{round(kept * 1000.0, 6):.10g} mm")
_DEADLINE: Final = _Cell(parse_deadline, lambda kept: kept.words)
_COUNT: Final = _Cell(_count, str)

_CELLS: Final[Mapping[str, _Cell]] = {
    "id": _Cell(_id, str),
    "version": _COUNT,
    "place": _Cell(_id, str),
    "place_name": _TEXT,
    "duty": _word(*get_args(Duty)),
    "trigger": _word(*AFTER_EVENT, *OTHER_TRIGGERS),
    "kinds": _several(*DEVICES),
    "hazards": _several(*get_args(Hazard)),
    "irrigation": _YES,
    "residential": _YES,
    "chemicals": _YES,
    "size_up_to_m": _SIZE,
    "size_above_m": _SIZE,
    "months_below": _COUNT,
    "months_from": _COUNT,
    "period": _Cell(_period, lambda kept: kept.words),
    "dates": _Cell(_days, lambda kept: ";".join(f"{m:02}-{d:02}" for m, d in kept)),
    "counts_from_days": _COUNT,
    "within": _DEADLINE,
    "before_service": _YES,
    "report_passed": _DEADLINE,
    "report_failed": _DEADLINE,
    "repair_failed": _DEADLINE,
    "who": _TEXT,
    "source": _TEXT,
    "checked": _Cell(_checked, date.isoformat),
    "mark": _word(*get_args(Mark)),
    "note": _TEXT,
    "superseded_by": _Cell(RuleRef.parse, str),
}
COLUMNS: Final = tuple(_CELLS)
_NEEDED: Final = ("id", "version", "trigger", "source", "checked")
_OF_LIMITS: Final = frozenset(field.name for field in fields(Limits))


def read_rules(text: str) -> tuple[Rule, ...]:
    """Read rules from CSV with `COLUMNS`, one version of one rule a line.

    Parameters
    ----------
    text : str
        The file [text].

    Returns
    -------
    tuple of Rule
        In the order of the file [rules].

    Raises
    ------
    InputError
        It names the line and what to mend.
    """
    reader = csv.DictReader(io.StringIO(text), strict=True)
    if tuple(reader.fieldnames or ()) != COLUMNS:
        raise InputError(
            f"rules: the first line must read {','.join(COLUMNS)}", input="rules"
        )
    rules: dict[RuleRef, Rule] = {}
    try:
        for row in reader:
            rule = _rule(row)
            if rule.ref in rules:
                raise InputError(f"{rule.ref} stands twice; give it the next version")
            rules[rule.ref] = rule
    except (InputError, csv.Error) as error:
        raise InputError(
            f"rules, line {reader.line_num}: {error}", input="rules"
        ) from error
    _check_successors(rules)
    return tuple(rules.values())


def rules_csv(rules: Iterable[Rule]) -> str:
    """Write rules as `read_rules` reads them.

    Parameters
    ----------
    rules : iterable of Rule
        All versions [rules].

    Returns
    -------
    str
        The file [text].
    """
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows({name: _written(rule, name) for name in COLUMNS} for rule in rules)
    return out.getvalue()


def _rule(row: Mapping[str, str | None]) -> Rule:
    if None in row or None in row.values():
        raise InputError(f"give {len(COLUMNS)} columns")
    cells = {name: (row[name] or "").strip() for name in COLUMNS}
    for name in _NEEDED:
        if not cells[name]:
            raise InputError(f"{name} is empty; fill it in")
    values: dict[str, Any] = {}
    for name, text in cells.items():
        if text:
            try:
                values[name] = _CELLS[name].read(text)
            except InputError as error:
                raise InputError(f"{name}: {error}") from error
    limits = {name: values.pop(name) for name in _OF_LIMITS & set(values)}
    return Rule(limits=Limits(**limits), **values)


def _written(rule: Rule, name: str) -> str:
    value = getattr(rule.limits if name in _OF_LIMITS else rule, name)
    if value is None or value in ("", (), frozenset()):
        return ""
    if name == "before_service" and not value:
        return ""
    return _CELLS[name].write(value)


def _check_successors(rules: Mapping[RuleRef, Rule]) -> None:
    for rule in rules.values():
        follower = rule.superseded_by
        if follower is None:
            continue
        if follower not in rules:
            raise InputError(
                f"rules: {rule.ref} is superseded by {follower}, which is not there",
                input="rules",
            )
        seen = {rule.ref}
        while follower is not None:
            if follower in seen:
                raise InputError(
                    f"rules: {rule.ref} and {follower} supersede each other",
                    input="rules",
                )
            seen.add(follower)
            follower = rules[follower].superseded_by if follower in rules else None

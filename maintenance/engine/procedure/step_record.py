"""Between steps and the plain objects that they are kept as."""

from collections.abc import Mapping
from typing import Any

from maintenance.engine.procedure.step import Change, Step


def step_to_record(step: Step) -> dict[str, Any]:
    """Turn a step into a plain object.

    Parameters
    ----------
    step : Step
        The step. [-]

    Returns
    -------
    dict
        Texts, numbers and lists, under the names of the step's fields. [-]
    """
    return {
        "key": step.key,
        "act": step.act,
        "on": step.on,
        "to": step.to,
        "text": step.text,
        "why": step.why,
        "cautions": list(step.cautions),
        "source": step.source,
        "minutes": step.minutes,
        "changes": _pairs(step.changes),
        "during": _pairs(step.during),
        "sees": list(step.sees),
        "row": step.row,
        "block": step.block,
    }


def step_from_record(record: Mapping[str, Any]) -> Step:
    """Read a step back from what `step_to_record` gave.

    Parameters
    ----------
    record : mapping
        The plain object. [-]

    Returns
    -------
    Step
        The same step. [-]
    """
    plain = {
        name: record[name]
        for name in ("key", "act", "on", "to", "text", "why", "source", "minutes")
    }
    return Step(
        **plain,
        row=record["row"],
        block=record["block"],
        cautions=tuple(record["cautions"]),
        changes=_changes(record["changes"]),
        during=_changes(record["during"]),
        sees=tuple(record["sees"]),
    )


def _pairs(changes: tuple[Change, ...]) -> list[list[str]]:
    return [[change.element, change.position] for change in changes]


def _changes(pairs: list[list[str]]) -> tuple[Change, ...]:
    return tuple(Change(element, position) for element, position in pairs)

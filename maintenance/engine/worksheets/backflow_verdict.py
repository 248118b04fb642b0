"""Worksheet on the readings of one field test."""

from collections.abc import Mapping
from typing import Final

from maintenance.engine.backflow.criteria import (
    DEFAULT_CRITERIA,
    find_criteria,
    shipped_criteria,
)
from maintenance.engine.backflow.readings import (
    DEVICE_WORDS,
    DEVICES,
    READING_KEYS,
    Device,
    Reading,
    doubts,
)
from maintenance.engine.backflow.typed import parse_device, parse_reading
from maintenance.engine.backflow.verdict import judge
from maintenance.engine.errors import InputError
from maintenance.engine.figure import Warning
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input

# What the contract calls by another name: the check valve farther down.
_KEYS: Final = {"back_pressure_held": "check_2_held"}


def _backflow_verdict(*, device: str, criteria: str, **written: str | None) -> Outcome:
    kind = parse_device(device)
    readings = _readings(kind, written)
    verdict = judge(kind, readings, find_criteria(criteria))
    buffer = verdict.buffer
    warnings = [Warning("doubtful_reading", text) for text in doubts(kind, readings)]
    if kind == "AVB":
        text = f"The {DEVICE_WORDS[kind]} is inspected, not tested in the field."
        warnings.append(Warning("inspected_only", text, ("device",)))
    return Outcome(
        {
            "verdict": verdict.result,
            "reasons": list(verdict.sentences),
            "buffer_psi": None if buffer is None else format(buffer, "f"),
        },
        warnings=tuple(warnings),
    )


def _readings(device: Device, written: Mapping[str, str | None]) -> dict[str, Reading]:
    readings = {}
    for name, text in written.items():
        key = _KEYS.get(name, name)
        if text is None:
            continue
        if key not in READING_KEYS[device]:
            raise InputError(
                f"{name}: this is not read at the {DEVICE_WORDS[device]} ({device}); "
                "leave it out",
                input=name,
            )
        try:
            readings[key] = parse_reading(key, text, unit_needed=True)
        except InputError as error:
            raise InputError(str(error).replace(key, name, 1), input=name) from error
    return readings


def _reading(name: str, label: str, such_as: str, help: str = "") -> Input:  # noqa: A002
    return Input(
        name=name,
        label=label,
        kind="text",
        optional=True,
        such_as=such_as,
        help=help,
    )


def _answer(name: str, label: str, help: str = "") -> Input:  # noqa: A002
    return Input(
        name=name,
        label=label,
        kind="choice",
        choices=("yes", "no"),
        optional=True,
        help=help,
    )


_WORDS = "Or in words: did not open, leaked, unreadable."

_SHEET = Worksheet(
    name="backflow_verdict",
    title="Readings of a backflow field test",
    purpose="Whether the readings of one field test meet a set of limits.",
    method=(
        "each reading against its limit, inclusive, in decimal arithmetic; buffer = "
        "check valve 1 less relief valve opening"
    ),
    inputs=(
        Input(
            name="device",
            label="kind of device",
            kind="choice",
            choices=DEVICES,
            help="; ".join(f"{key}: {words}" for key, words in DEVICE_WORDS.items()),
        ),
        Input(
            name="criteria",
            label="set of limits",
            kind="choice",
            choices=tuple(criteria.id for criteria in shipped_criteria()),
            default=DEFAULT_CRITERIA,
            default_origin="limits printed on a public form of 9/02",
            help="Editions of procedures differ: the water supplier says which holds.",
        ),
        _reading("check_1", "check valve 1, or the only one", "5.1 psi", _WORDS),
        _reading("relief", "relief valve opening", "2.1 psi", "Or: did not open."),
        _reading("check_2", "check valve 2", "1.0 psi", _WORDS),
        _reading("air_inlet", "air inlet opening", "1.0 psi", "Or: did not open."),
        _answer("back_pressure_held", "check valve 2 held against back-pressure"),
        _answer("fully_open", "air inlet fully open with the supply at the atmosphere"),
        _reading("gap", "air gap", "1-1/2 in"),
        _reading("supply_diameter", "diameter of the supply at the air gap", "3/4 in"),
    ),
    outputs=(
        Output(key="verdict", label="verdict", kind="text"),
        Output(key="reasons", label="reasons", kind="texts"),
        Output(key="buffer_psi", label="buffer (psid)", kind="text"),
    ),
    sources=(
        "Iowa City, Backflow Prevention Assembly Test Data and Maintenance Report, 9/02",
        "Cerritos, California, code 13.12.015 (air gap of at least 1 in)",
    ),
    function=_backflow_verdict,
    cautions=(
        (
            "A test is for a qualified tester with a gauge in calibration. The water "
            "supplier's own limits and forms decide."
        ),
    ),
)

WORKSHEETS = (_SHEET,)

"""The reasons of a verdict in sentences: the number read beside the limit."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from maintenance.engine.backflow.limits import BUFFER, Limit
from maintenance.engine.backflow.readings import (
    DEVICE_WORDS,
    Device,
    Length,
    Reading,
    State,
    reading_words,
)

if TYPE_CHECKING:
    from decimal import Decimal

RESULT_WORDS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "passed": "passed",
        "failed": "failed",
        "incomplete": "incomplete",
        "not_tested": "not tested",
    }
)
"""The results as a person reads them."""

_NO: Final[Mapping[str, str]] = MappingProxyType(
    {
        "check_1_held": "Check valve 1 did not hold against back-pressure",
        "check_2_held": "Check valve 2 did not hold against back-pressure",
        "relief_air_gap": "The air gap under the relief valve is not proper",
        "fully_open": "The air inlet was not fully open with the supply at the atmosphere",
        "properly_installed": "It was found not properly installed",
        "operating_properly": "It was found not operating properly",
    }
)
_OPENED: Final[Mapping[str, str]] = MappingProxyType(
    {"relief": "relief valve", "air_inlet": "air inlet"}
)


def pressure_missed(limit: Limit, reading: "Decimal") -> str:
    """Say that a pressure difference lies below its limit.

    Parameters
    ----------
    limit : Limit
        The limit [psid].
    reading : Decimal
        What was read [psid].

    Returns
    -------
    str
        One sentence [text].
    """
    return f"{_subject(limit)} {reading:f} psid; {_bound(limit)}."


def _subject(limit: Limit) -> str:
    if limit.key in _OPENED:
        verb = "started to open" if limit.device == "SVB" else "opened"
        return f"The {_OPENED[limit.key]} {verb} at"
    return f"{_named(limit.device, limit.key)} reads"


def _named(device: Device, key: str) -> str:
    words = reading_words(device, key)
    return words[0].upper() + words[1:]


def _bound(limit: Limit) -> str:
    match limit.asks:
        case "yes":
            return "the answer has to be yes"
        case "times":
            return f"the limit is at least {limit.number:f} times the supply's diameter"
        case _:
            return f"the limit is at least {limit.number:f} {limit.unit}"


def buffer_missed(
    limit: Limit, buffer: "Decimal", readings: Mapping[str, Reading]
) -> str:
    """Say that the buffer lies below its limit.

    Parameters
    ----------
    limit : Limit
        The limit [psid].
    buffer : Decimal
        Check valve 1 less relief valve opening [psid].
    readings : mapping of str to Reading
        Both readings among them [psid].

    Returns
    -------
    str
        One sentence [text].
    """
    return (
        f"The buffer is {buffer:f} psid (check valve 1 at {readings['check_1']} less "
        f"relief valve opening at {readings['relief']}); {_bound(limit)}."
    )


def gap_missed(limit: Limit, gap: Length, supply: Length | None = None) -> str:
    """Say that an air gap is too small.

    Parameters
    ----------
    limit : Limit
        The limit [in, mm or times the supply].
    gap : Length
        What was measured [mm].
    supply : Length or None
        Diameter of the supply, where the limit is a multiple of it [mm].

    Returns
    -------
    str
        One sentence [text].
    """
    of_supply = "" if supply is None else f" of {supply.text}"
    return f"The air gap is {gap.text}; {_bound(limit)}{of_supply}."


def refused(limit: Limit, key: str, reading: State | bool) -> str:
    """Say that a word or a no misses the limit.

    Parameters
    ----------
    limit : Limit
        The limit that needs the reading [psid or yes].
    key : str
        The reading [text].
    reading : State or bool
        *Did not open*, *leaked*, or no [text].

    Returns
    -------
    str
        One sentence [text].
    """
    if isinstance(reading, bool):
        return f"{_NO[key]}; {_bound(limit)}."
    name = _OPENED.get(key)
    subject = f"The {name}" if name else _named(limit.device, key)
    return f"{subject} {reading.value}{_wanted(limit, key)}."


def missing(limit: Limit, key: str) -> str:
    """Say that a reading is missing.

    Parameters
    ----------
    limit : Limit
        The limit that needs it [psid, in, mm or yes].
    key : str
        The reading [text].

    Returns
    -------
    str
        One sentence [text].
    """
    return f"{_named(limit.device, key)}: nothing was entered{_wanted(limit, key)}."


def unreadable(limit: Limit, key: str) -> str:
    """Say that a reading could not be read.

    Parameters
    ----------
    limit : Limit
        The limit that needs it [psid, in, mm or yes].
    key : str
        The reading [text].

    Returns
    -------
    str
        One sentence [text].
    """
    mend = "read it again"
    if limit.use == "optional":
        mend += ", or leave it out: it is optional"
    text = f"{_named(limit.device, key)}: it could not be read{_wanted(limit, key)}"
    return f"{text}; {mend}."


def _wanted(limit: Limit, key: str) -> str:
    if key == limit.key:
        return f"; {_bound(limit)}"
    return f"; the {'buffer' if limit.key == BUFFER else 'limit of the gap'} needs it"


def no_limits(device: Device, criteria_id: str) -> str:
    """Say that a set of limits asks nothing of this kind of device.

    Parameters
    ----------
    device : str
        The kind [text].
    criteria_id : str
        The set [text].

    Returns
    -------
    str
        One sentence [text].
    """
    return (
        f"The criteria {criteria_id} ask nothing of the {DEVICE_WORDS[device]} "
        f"({device}); choose a set that does."
    )


def shut_off_leaks() -> str:
    """Say that no reading counts.

    Returns
    -------
    str
        One sentence [text].
    """
    return "Not tested: shut-off 2 does not hold, so no reading counts."


def unable(because: str) -> str:
    """Say that the test could not be done.

    Parameters
    ----------
    because : str
        The reason in the tester's words [text].

    Returns
    -------
    str
        One sentence [text].
    """
    return f"Not tested: {because.rstrip(' .')}."


def unfinished(because: str) -> str:
    """Say that the test was begun and could not be finished.

    Parameters
    ----------
    because : str
        The reason in the tester's words [text].

    Returns
    -------
    str
        One sentence [text].
    """
    return f"The test could not be finished: {because.rstrip(' .')}."

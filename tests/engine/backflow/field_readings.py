"""Readings as they are typed, for the tests of verdicts."""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from hypothesis import strategies as st

from maintenance.engine.backflow.criteria import DEFAULT_CRITERIA, find_criteria
from maintenance.engine.backflow.limits import Criteria, Use
from maintenance.engine.backflow.readings import (
    READING_KEYS,
    READING_KINDS,
    UNSAID,
    Conditions,
    Device,
    Length,
    Reading,
    State,
)
from maintenance.engine.backflow.typed import parse_reading
from maintenance.engine.backflow.verdict import Verdict, judge

FORM = find_criteria(DEFAULT_CRITERIA)
GOOD: Mapping[Device, Mapping[str, str]] = {
    "RP": {"check_1": "7.2", "relief": "3.1", "check_2": "1.8", "check_2_held": "yes"},
    "DC": {"check_1": "1.4", "check_2": "1.2"},
    "PVB": {"air_inlet": "1.6", "check_1": "1.1"},
    "SVB": {"check_1": "1.6", "air_inlet": "1.2", "fully_open": "yes"},
    "AVB": {"properly_installed": "yes", "operating_properly": "yes"},
    "AG": {"supply_diameter": "3/4 in", "gap": "2 in"},
}


def readings(**texts: str) -> dict[str, Reading]:
    return {key: parse_reading(key, text) for key, text in texts.items()}


def good(device: Device, **texts: str) -> dict[str, Reading]:
    return readings(**{**GOOD[device], **texts})


def verdict(
    device: Device,
    given: Mapping[str, Reading],
    criteria: Criteria = FORM,
    conditions: Conditions = UNSAID,
) -> Verdict:
    return judge(device, given, criteria, conditions)


def with_use(device: Device, key: str, use: Use) -> Criteria:
    """The shipped limits with another use of one of them."""
    limits = tuple(
        replace(limit, use=use) if (limit.device, limit.key) == (device, key) else limit
        for limit in FORM.limits
    )
    return replace(FORM, limits=limits)


PSIDS = st.decimals(min_value=0, max_value=12, places=1)
LENGTHS = st.decimals(min_value=1, max_value=60, places=1).map(
    lambda millimetres: Length(millimetres, f"{millimetres} mm")
)


def any_reading(key: str) -> st.SearchStrategy[Reading]:
    match READING_KINDS[key]:
        case "psid":
            return st.one_of(PSIDS, st.sampled_from([State.DID_NOT_OPEN]))
        case "yes_no":
            return st.booleans()
        case _:
            return LENGTHS


def whole_tests(device: Device) -> st.SearchStrategy[dict[str, Reading]]:
    """Every reading of the device taken, good or bad."""
    return st.fixed_dictionaries(
        {key: any_reading(key) for key in READING_KEYS[device]}
    )


def some_tests(device: Device) -> st.SearchStrategy[dict[str, Reading]]:
    """Some readings of the device taken, good or bad."""
    return st.fixed_dictionaries(
        {}, optional={key: any_reading(key) for key in READING_KEYS[device]}
    )


def worse(key: str, reading: Reading) -> st.SearchStrategy[Reading]:
    """What is worse than a reading of a key that has a lower limit only."""
    if isinstance(reading, Decimal):
        lower = st.decimals(min_value=0, max_value=reading, places=1)
        return st.one_of(lower, st.just(State.DID_NOT_OPEN))
    if isinstance(reading, Length):
        smaller = st.decimals(min_value=0, max_value=reading.millimetres, places=1)
        return smaller.map(lambda millimetres: Length(millimetres, f"{millimetres} mm"))
    return st.just(reading) if isinstance(reading, State) else st.just(False)

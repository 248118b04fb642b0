"""The verdict: inclusive limits, decimals, and one sentence for each matter."""

from dataclasses import replace
from decimal import Decimal

import pytest

from maintenance.engine.backflow.readings import (
    DEVICES,
    READING_KEYS,
    Conditions,
    State,
)
from maintenance.engine.backflow.verdict import Reason
from maintenance.engine.errors import InputError
from tests.engine.backflow.field_readings import (
    FORM,
    GOOD,
    good,
    readings,
    verdict,
    with_use,
)


@pytest.mark.parametrize("device", DEVICES)
def test_readings_within_all_limits_pass_and_give_no_reasons(device):
    found = verdict(device, good(device))
    assert (found.result, found.reasons) == ("passed", ())
    assert found.criteria_id == FORM.id


AT_THE_LIMIT = [
    ("RP", "check_1", "6.1", "5.0", "4.9", {"relief": "2.0"}),
    ("RP", "relief", "3.1", "2.0", "1.9", {}),
    ("RP", "check_2", "1.8", "1.0", "0.9", {}),
    ("DC", "check_1", "1.4", "1.0", "0.9", {}),
    ("DC", "check_2", "1.2", "1.0", "0.9", {}),
    ("PVB", "air_inlet", "1.6", "1.0", "0.9", {}),
    ("PVB", "check_1", "1.1", "1.0", "0.9", {}),
    ("SVB", "check_1", "1.6", "1.0", "0.9", {}),
    ("SVB", "air_inlet", "1.2", "1.0", "0.9", {}),
    ("AG", "gap", "2 in", "1.5 in", "1.49 in", {}),
]


@pytest.mark.parametrize(
    ("device", "key", "above", "at", "below", "others"),
    AT_THE_LIMIT,
    ids=[f"{row[0]}-{row[1]}" for row in AT_THE_LIMIT],
)
def test_a_limit_is_met_when_reached_and_missed_just_below(
    device, key, above, at, below, others
):
    for text, result in ((above, "passed"), (at, "passed"), (below, "failed")):
        assert verdict(device, good(device, **others, **{key: text})).result == result
    found = verdict(device, good(device, **others, **{key: below}))
    reason = next(reason for reason in found.reasons if reason.key == key)
    assert reason.kind == "missed"
    assert below in reason.text


def test_the_buffer_is_a_difference_of_decimals():
    assert 5.1 - 2.1 < 3.0
    exact = verdict("RP", good("RP", check_1="5.1", relief="2.1"))
    assert (exact.result, exact.buffer) == ("passed", Decimal("3.0"))
    short = verdict("RP", good("RP", check_1="5.1", relief="2.11"))
    assert (short.result, short.buffer) == ("failed", Decimal("2.99"))
    assert " ".join(short.sentences) == (
        "The buffer is 2.99 psid (check valve 1 at 5.1 less relief valve opening at "
        "2.11); the limit is at least 3.0 psid."
    )


def test_each_limit_missed_is_told_with_the_number_read_and_the_limit():
    found = verdict("RP", good("RP", check_1="4.90", relief="1.8"))
    assert found.sentences == (
        "Check valve 1 reads 4.90 psid; the limit is at least 5.0 psid.",
        "The relief valve opened at 1.8 psid; the limit is at least 2.0 psid.",
    )


def test_what_did_not_open_fails_without_a_number():
    found = verdict("RP", readings(check_1="7.2", relief="did not open"))
    assert found.result == "failed"
    assert found.buffer is None
    assert found.reasons[0] == Reason(
        "relief",
        "missed",
        "The relief valve did not open; the limit is at least 2.0 psid.",
    )
    assert [reason.kind for reason in found.reasons[1:]] == ["missing", "missing"]
    leaked = verdict("DC", good("DC", check_2="leaked"))
    assert leaked.sentences == (
        "Check valve 2 leaked; the limit is at least 1.0 psid.",
    )


@pytest.mark.parametrize("device", DEVICES)
def test_each_required_reading_that_is_missing_makes_it_incomplete(device):
    for key in GOOD[device]:
        given = good(device)
        del given[key]
        found = verdict(device, given)
        assert found.result == "incomplete"
        assert [(r.key, r.kind) for r in found.reasons] == [(key, "missing")]


def test_a_limit_missed_fails_even_where_readings_are_missing():
    found = verdict("RP", readings(check_1="4.9"))
    assert found.result == "failed"
    faults = {reason.key: reason.kind for reason in found.reasons}
    assert faults == {
        "check_1": "missed",
        "relief": "missing",
        "check_2": "missing",
        "check_2_held": "missing",
    }


def test_nothing_read_is_incomplete_never_passed():
    for device in DEVICES:
        assert verdict(device, {}).result == "incomplete"


def test_a_reading_that_two_limits_need_is_told_once():
    given = good("RP", relief="unreadable")
    assert [r.key for r in verdict("RP", given).reasons] == ["relief"]


def test_an_optional_reading_may_be_left_out_but_counts_where_read():
    assert verdict("DC", good("DC", check_2_held="yes")).result == "passed"
    assert verdict("DC", good("DC", check_2_held="no")).result == "failed"
    found = verdict("DC", good("DC", check_2_held="unreadable"))
    assert found.result == "incomplete"
    assert "leave it out" in found.sentences[0]


def test_a_limit_that_is_not_used_judges_nothing():
    assert verdict("RP", good("RP", relief_air_gap="no")).result == "passed"
    asked = with_use("RP", "relief_air_gap", "required")
    assert verdict("RP", good("RP", relief_air_gap="no"), asked).result == "failed"
    unbuffered = with_use("RP", "buffer", "not used")
    narrow = good("RP", check_1="5.0", relief="2.5")
    assert verdict("RP", narrow).result == "failed"
    assert verdict("RP", narrow, unbuffered).result == "passed"


@pytest.mark.parametrize(
    ("text", "result"),
    [("did not open", "failed"), ("unreadable", "incomplete"), ("2.0", "passed")],
)
def test_the_buffer_needs_a_reading_whose_own_limit_is_not_used(text, result):
    loose = with_use("RP", "relief", "not used")
    assert verdict("RP", good("RP", relief=text), loose).result == result
    without = good("RP")
    del without["relief"]
    found = verdict("RP", without, loose)
    assert found.result == "incomplete"
    assert "the buffer needs it" in found.sentences[0]


def test_limits_that_ask_nothing_of_a_device_pass_nothing():
    silent = replace(FORM, limits=FORM.of("DC"))
    found = verdict("RP", good("RP"), silent)
    assert found.result == "incomplete"
    assert "ask nothing" in found.sentences[0]


def test_a_leak_at_shut_off_2_is_not_tested_rather_than_failed():
    leaking = Conditions(shut_off_2_holds=False)
    found = verdict("RP", good("RP", check_1="1.0"), FORM, leaking)
    assert (found.result, found.buffer) == ("not_tested", None)
    assert found.sentences == (
        "Not tested: shut-off 2 does not hold, so no reading counts.",
    )
    holding = Conditions(shut_off_2_holds=True)
    assert verdict("RP", good("RP"), FORM, holding).result == "passed"
    assert verdict("AG", good("AG"), FORM, leaking).result == "passed"


def test_a_test_that_could_not_be_done_gives_its_reason():
    locked = Conditions(unable_because="the vault is full of water.")
    found = verdict("RP", {}, FORM, locked)
    assert found.result == "not_tested"
    assert found.sentences == ("Not tested: the vault is full of water.",)


def test_a_test_broken_off_never_passes_and_hides_no_limit_missed():
    broken_off = Conditions(unable_because="a test cock broke")
    assert verdict("DC", good("DC"), FORM, broken_off).result == "incomplete"
    found = verdict("DC", readings(check_1="0.4"), FORM, broken_off)
    assert found.result == "failed"
    assert found.sentences[-1] == ("The test could not be finished: a test cock broke.")


def test_an_air_gap_is_held_to_both_its_limits_exactly():
    small = {"supply_diameter": "3/8 in"}
    assert verdict("AG", readings(**small, gap="1 in")).result == "passed"
    assert verdict("AG", readings(**small, gap="25.4 mm")).result == "passed"
    assert verdict("AG", readings(**small, gap="25.3 mm")).result == "failed"
    both = verdict("AG", readings(supply_diameter="3/4 in", gap="1/2 in"))
    assert len(both.sentences) == 2
    assert " ".join(both.sentences) == (
        "The air gap is 1/2 in; the limit is at least 2 times the supply's diameter "
        "of 3/4 in. The air gap is 1/2 in; the limit is at least 1 in."
    )


@pytest.mark.parametrize("device", DEVICES)
def test_what_a_device_does_not_have_is_refused_by_name(device):
    strange = next(
        key for keys in READING_KEYS.values() for key in keys
        if key not in READING_KEYS[device]
    )  # fmt: skip
    with pytest.raises(InputError, match=strange) as caught:
        verdict(device, {strange: State.UNREADABLE})
    assert caught.value.input == strange


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("check_1", 5.1),
        ("check_1", Decimal("NaN")),
        ("check_1", Decimal("Infinity")),
        ("check_1", Decimal("-0.1")),
        ("check_1", True),
        ("check_2_held", Decimal(1)),
        ("check_2_held", State.LEAKED),
        ("relief", State.LEAKED),
    ],
)
def test_a_value_of_another_kind_is_refused_by_name(key, value):
    with pytest.raises(InputError, match=key) as caught:
        verdict("RP", {key: value})
    assert caught.value.input == key


def test_no_sentence_vouches_for_a_device():
    for device in DEVICES:
        bad = dict.fromkeys(READING_KEYS[device], State.UNREADABLE)
        for given in ({}, bad):
            text = " ".join(verdict(device, given).sentences).lower()
            assert not any(word in text for word in ("complian", "certifi", "safe"))

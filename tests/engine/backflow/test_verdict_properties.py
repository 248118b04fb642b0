"""What holds of every test: worse never passes, unreadable decides nothing."""

from hypothesis import given, strategies as st

from maintenance.engine.backflow.readings import DEVICES, READING_KEYS, State
from tests.engine.backflow.field_readings import (
    FORM,
    some_tests,
    verdict,
    whole_tests,
    worse,
)

ALL = st.sampled_from(DEVICES)
IN_USE = {
    device: [
        key
        for key in READING_KEYS[device]
        if any(
            limit.use != "not used" and limit.key == key for limit in FORM.of(device)
        )
        or key == "supply_diameter"
    ]
    for device in DEVICES
}
ONE_SIDED = {
    device: [
        key for key in READING_KEYS[device] if key not in ("relief", "supply_diameter")
    ]
    for device in DEVICES
}


@given(st.data(), ALL)
def test_a_worse_reading_never_turns_fail_into_pass(data, device):
    before = data.draw(whole_tests(device))
    key = data.draw(st.sampled_from(ONE_SIDED[device]))
    after = before | {key: data.draw(worse(key, before[key]))}
    if verdict(device, before).result != "passed":
        assert verdict(device, after).result != "passed"


@given(st.data())
def test_a_relief_opening_farther_out_of_its_band_never_passes(data):
    before = data.draw(whole_tests("RP"))
    faults = {(r.key, r.kind) for r in verdict("RP", before).reasons}
    relief = before["relief"]
    if ("relief", "missed") in faults and not isinstance(relief, State):
        farther = st.decimals(min_value=0, max_value=relief, places=1)
    elif ("buffer", "missed") in faults:
        farther = st.decimals(min_value=relief, max_value=20, places=1)
    else:
        return
    after = before | {"relief": data.draw(farther)}
    assert verdict("RP", after).result == "failed"


@given(st.data(), ALL)
def test_an_unreadable_reading_is_never_a_pass(data, device):
    taken = data.draw(some_tests(device))
    key = data.draw(st.sampled_from(IN_USE[device]))
    assert verdict(device, taken | {key: State.UNREADABLE}).result != "passed"


@given(st.data(), ALL)
def test_an_unreadable_reading_never_fails_what_did_not_fail(data, device):
    before = data.draw(some_tests(device))
    key = data.draw(st.sampled_from(READING_KEYS[device]))
    after = before | {key: State.UNREADABLE}
    if verdict(device, before).result != "failed":
        assert verdict(device, after).result != "failed"


@given(st.data(), ALL)
def test_readings_taken_away_never_fail_what_did_not_fail(data, device):
    before = data.draw(some_tests(device))
    kept = data.draw(st.sets(st.sampled_from(READING_KEYS[device])))
    after = {key: reading for key, reading in before.items() if key in kept}
    if verdict(device, before).result != "failed":
        assert verdict(device, after).result != "failed"


@given(st.data(), ALL)
def test_the_order_of_readings_changes_nothing(data, device):
    taken = data.draw(some_tests(device))
    shuffled = dict(data.draw(st.permutations(list(taken.items()))))
    assert verdict(device, shuffled) == verdict(device, taken)


@given(st.data(), ALL)
def test_a_verdict_has_reasons_exactly_where_it_did_not_pass(data, device):
    found = verdict(device, data.draw(some_tests(device)))
    faults = {reason.kind for reason in found.reasons}
    assert (found.result == "passed") == (not faults)
    assert (found.result == "failed") == ("missed" in faults)
    assert all(text.endswith(".") for text in found.sentences)

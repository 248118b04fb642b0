"""Readings: digits kept as typed, words where there is no number, slips named."""

from decimal import Decimal

import pytest
from hypothesis import given, strategies as st

from maintenance.engine.backflow.readings import (
    DEVICE_WORDS,
    DEVICES,
    READING_KEYS,
    READING_KINDS,
    STATES_OF,
    Conditions,
    Length,
    State,
    check_readings,
    doubts,
    reading_words,
)
from maintenance.engine.backflow.typed import (
    parse_device,
    parse_reading,
    parse_supply_pressure,
    reading_text,
)
from maintenance.engine.errors import InputError

PSID = [key for key, kind in READING_KINDS.items() if kind == "psid"]
YES_NO = [key for key, kind in READING_KINDS.items() if kind == "yes_no"]


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("5.10", "5.10"),
        ("5.1 psi", "5.1"),
        (" 5.100  psid ", "5.100"),
        ("5", "5"),
        ("0.0", "0.0"),
        (".5 PSI", "0.5"),
        ("10.0", "10.0"),
    ],
)
def test_a_difference_keeps_the_digits_that_were_typed(typed, kept):
    reading = parse_reading("check_1", typed)
    assert isinstance(reading, Decimal)
    assert reading_text(reading) == kept


@given(st.integers(0, 9999), st.integers(0, 4))
def test_every_typed_decimal_comes_back_as_it_was(number, places):
    typed = format(Decimal(number).scaleb(-places), "f")
    assert reading_text(parse_reading("relief", typed)) == typed


@pytest.mark.parametrize("key", PSID)
@pytest.mark.parametrize(
    "typed",
    [
        "",
        "5,1",
        "-0.2",
        "+5.1",
        "5.1.2",
        "5 1",
        "5.",
        "5.12345",
        "12345",
        "nan",
        "inf",
        "1e1",
        "5_1",
        "٥",
        "5.1 kPa",
        "5.1 psig",
        "5.1 psi abs",
        "yes",
        "did not",
        "1" * 50,
    ],
)
def test_what_is_no_difference_is_refused_with_an_example(key, typed):
    with pytest.raises(InputError, match=key) as caught:
        parse_reading(key, typed)
    assert caught.value.input == key
    assert '"5.1 psi"' in str(caught.value)
    assert "\n" not in str(caught.value)


def test_the_unit_can_be_asked_for():
    with pytest.raises(InputError, match="relief"):
        parse_reading("relief", "2.1", unit_needed=True)
    assert parse_reading("relief", "2.1 psi", unit_needed=True) == Decimal("2.1")
    assert parse_reading("fully_open", "no", unit_needed=True) is False


@pytest.mark.parametrize("key", READING_KINDS)
def test_words_stand_for_what_has_no_number(key):
    for state in STATES_OF[key]:
        typed = f"  {state.value.upper()} ".replace(" ", "  ")
        assert parse_reading(key, typed) is state
    assert State.UNREADABLE in STATES_OF[key]
    for state in set(State) - set(STATES_OF[key]):
        with pytest.raises(InputError, match=key):
            parse_reading(key, state.value)


@pytest.mark.parametrize("key", YES_NO)
def test_a_question_takes_yes_or_no(key):
    assert parse_reading(key, " Yes ") is True
    assert parse_reading(key, "no") is False
    for typed in ("y", "1", "true", "5.1", "maybe", ""):
        with pytest.raises(InputError, match='"yes" or "no"'):
            parse_reading(key, typed)


@pytest.mark.parametrize(
    ("typed", "millimetres"),
    [
        ("1 in", "25.4"),
        ("1-1/2 in", "38.1"),
        ("1 1/2 inches", "38.1"),
        ('3/4"', "19.05"),
        ("0.9 in", "22.86"),
        ("40 mm", "40"),
        ("4 cm", "40"),
        ("0 mm", "0"),
    ],
)
def test_a_length_is_exact_and_keeps_its_text(typed, millimetres):
    assert parse_reading("gap", typed) == Length(Decimal(millimetres), typed)


@pytest.mark.parametrize("typed", ["1", "1/3 in", "1/0 in", "-1 in", "1 ft2", "in", ""])
def test_what_is_no_length_is_refused(typed):
    with pytest.raises(InputError, match="gap"):
        parse_reading("gap", typed)


@given(st.data())
def test_what_is_kept_is_read_back_the_same(data):
    key = data.draw(st.sampled_from(sorted(READING_KINDS)))
    typed = {
        "psid": st.decimals(min_value=0, max_value=99, places=2).map(str),
        "yes_no": st.sampled_from(["yes", "no"]),
        "length": st.sampled_from(["3/4 in", "1-1/2 in", "40 mm", "0.9 in"]),
    }[READING_KINDS[key]]
    words = st.sampled_from([state.value for state in STATES_OF[key]])
    reading = parse_reading(key, data.draw(st.one_of(typed, words)))
    assert parse_reading(key, reading_text(reading)) == reading


def test_a_supply_of_no_width_is_refused():
    with pytest.raises(InputError, match="supply_diameter"):
        check_readings("AG", {"supply_diameter": Length(Decimal(0), "0 in")})
    check_readings("AG", {"gap": Length(Decimal(0), "0 in")})
    with pytest.raises(InputError, match="gap"):
        check_readings("AG", {"gap": Length(Decimal("NaN"), "?")})


def test_kinds_of_device_are_read_in_capitals_or_not():
    assert [parse_device(f" {device.lower()} ") for device in DEVICES] == list(DEVICES)
    with pytest.raises(InputError, match="RP, DC") as caught:
        parse_device("valve")
    assert caught.value.input == "device"


def test_the_pressure_of_the_supply_is_kept_as_typed():
    assert str(parse_supply_pressure(" 62.0 psi")) == "62.0"
    for typed in ("", "62 kPa", "-3", "sixty"):
        with pytest.raises(InputError, match="supply_pressure"):
            parse_supply_pressure(typed)


def test_every_reading_of_every_device_has_a_kind_and_words():
    assert set(READING_KEYS) == set(DEVICES) == set(DEVICE_WORDS)
    for device, keys in READING_KEYS.items():
        assert len({reading_words(device, key) for key in keys}) == len(keys)
        assert set(keys) <= set(READING_KINDS)
    assert reading_words("PVB", "check_1") == "check valve"
    assert reading_words("RP", "check_1") == "check valve 1"


def test_a_number_that_looks_like_a_slip_is_named_and_refused_nothing():
    assert doubts("RP", {"check_1": Decimal("15"), "relief": State.DID_NOT_OPEN}) == ()
    (slip,) = doubts("RP", {"check_1": Decimal("51")})
    assert "51 psid" in slip
    low = Conditions(supply_pressure=Decimal(6))
    (above,) = doubts("RP", {"check_1": Decimal("6.1"), "relief": Decimal(6)}, low)
    assert "supply pressure of 6 psi" in above

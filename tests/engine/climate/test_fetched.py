"""When the weather service is asked again, and whom it may write to."""

import math
from datetime import UTC, datetime, timedelta

import pytest

from maintenance.engine.climate.fetched import (
    FIRST_WAIT_S,
    JITTER,
    LONGEST_ASKED_S,
    LONGEST_WAIT_S,
    is_contact,
    next_try,
)
from maintenance.engine.errors import InputError

NOW = datetime(2026, 10, 5, 18, tzinfo=UTC)


def wait_s(failures, retry_after_s=None, jitter=0.0):
    return (next_try(failures, retry_after_s, NOW, jitter) - NOW).total_seconds()


def test_each_failure_doubles_the_wait_up_to_a_bound():
    waits = [wait_s(n) for n in range(1, 12)]
    assert waits[:7] == [300, 600, 1_200, 2_400, 4_800, 9_600, 19_200]
    assert set(waits[7:]) == {LONGEST_WAIT_S}
    assert wait_s(10**9) == LONGEST_WAIT_S


def test_what_the_service_asks_for_is_kept_to_for_a_day_at_most():
    assert wait_s(1, 7_200.0) == 7_200.0
    assert wait_s(1, 10.0) == FIRST_WAIT_S
    assert wait_s(9, 8 * 3600.0) == 8 * 3600.0
    assert wait_s(1, 1e12) == wait_s(1, math.inf) == LONGEST_ASKED_S


@pytest.mark.parametrize("asked_s", [None, 0.0, 5_000.0])
def test_jitter_only_ever_waits_longer_and_by_no_more_than_its_share(asked_s):
    plain = wait_s(3, asked_s)
    waits = [wait_s(3, asked_s, step / 10) for step in range(11)]
    assert waits == sorted(waits)
    assert waits[0] == plain
    assert waits[-1] == pytest.approx(plain * (1.0 + JITTER))


def test_the_next_try_keeps_the_zone_of_now():
    assert next_try(1, None, NOW) == NOW + timedelta(minutes=5)
    assert next_try(1, None, NOW).tzinfo is UTC


@pytest.mark.parametrize(
    ("failures", "asked_s", "jitter", "name"),
    [
        (0, None, 0.0, "failures"),
        (1, -1.0, 0.0, "retry_after_s"),
        (1, math.nan, 0.0, "retry_after_s"),
        (1, None, 1.01, "jitter"),
        (1, None, -0.1, "jitter"),
        (1, None, math.nan, "jitter"),
    ],
)
def test_a_number_outside_its_range_is_refused(failures, asked_s, jitter, name):
    with pytest.raises(InputError) as error:
        next_try(failures, asked_s, NOW, jitter)
    assert error.value.input == name


@pytest.mark.parametrize(
    "text",
    [
        "grounds@larkmoor.example",
        "a.b+c@x-y.z.example",
        "o'neil@mail.example",
        "x@xn--80ak6aa92e.example",
    ],
)
def test_an_address_in_plain_letters_is_a_contact(text):
    assert is_contact(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "grounds",
        "@larkmoor.example",
        "grounds@",
        "grounds@larkmoor",
        "grounds@-larkmoor.example",
        "grounds@larkmoor..example",
        "a@b@larkmoor.example",
        " grounds@larkmoor.example",
        "grounds@larkmoor.example\n",
        "grounds(x)@larkmoor.example",
        "gröunds@larkmoor.example",
        "x" * 65 + "@larkmoor.example",
        "a@" + "b." * 2_000 + "example",
    ],
)
def test_what_cannot_stand_in_a_header_or_be_written_to_is_no_contact(text):
    assert not is_contact(text)

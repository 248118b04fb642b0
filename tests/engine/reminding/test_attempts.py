"""What becomes of a message: sent, again, given up, or for a person to decide."""

import pytest

from maintenance.engine.reminding.attempts import (
    GIVE_UP_S,
    LONGEST_WAIT_S,
    Outcome,
    settle,
    wait_after,
)


def settled(kind, *, attempts=1, late_s=0.0, knows_keys=False, resends=0):
    return settle(
        Outcome(kind, "why"),
        attempts=attempts,
        late_s=late_s,
        knows_keys=knows_keys,
        resends=resends,
    )


def test_what_was_accepted_is_sent():
    assert settled("accepted").state == "sent"


def test_a_refusal_waits_longer_each_time_and_never_more_than_a_quarter_of_an_hour():
    waits = [settled("refused", attempts=n).wait_s for n in range(1, 40)]
    assert waits[:5] == [30, 60, 120, 240, 480]
    assert waits == sorted(waits)
    assert max(waits) == LONGEST_WAIT_S == wait_after(10**9)


def test_a_refusal_for_good_fails_at_once_and_any_other_after_a_week():
    assert settled("refused_for_good").state == "failed"
    assert settled("refused", late_s=GIVE_UP_S).state == "due"
    assert settled("refused", late_s=GIVE_UP_S + 1).state == "failed"


def test_a_lost_reply_is_harmless_where_the_key_is_known():
    for resends in (0, 5):
        again = settled("unknown", knows_keys=True, resends=resends)
        assert (again.state, again.doubled) == ("due", False)


def test_a_lost_reply_of_a_mail_server_is_made_good_once_and_then_told():
    first, second = settled("unknown"), settled("unknown", resends=1)
    assert (first.state, first.doubled) == ("due", True)
    assert "sent twice" in first.why
    assert (second.state, second.doubled) == ("uncertain", False)


@pytest.mark.parametrize("attempts", [0, -1])
def test_no_count_of_attempts_gives_no_wait(attempts):
    assert wait_after(attempts) > 0

"""A worker dies at each step of the outbox: nothing is lost, nothing comes twice.

After reference note 8, section 5, F6. The control: the same deaths with a receiver
that knows no keys give doubles where the call was made and not settled.
"""

import pytest

from tests.faults.outbox_points import POINT_COUNT
from tests.faults.provider import provider

SEED = 20270302
SIZES = [
    pytest.param(15, id="ci", marks=pytest.mark.slow),
    pytest.param(200, id="soak", marks=pytest.mark.soak),
]


def died(place, server, each):
    count = POINT_COUNT * each + 20
    place.run("set_up", count, server.url)
    place.run("plan")
    deaths = place.run("kill_points", each)
    return count, deaths, place.run("report")


@pytest.mark.parametrize("each", SIZES)
def test_a_death_at_any_step_loses_nothing_and_doubles_nothing(each, sqlite_place):
    with provider(seed=SEED) as server:
        count, deaths, found = died(sqlite_place("points"), server, each)
    print(f"seed {SEED}: {deaths} deaths at {POINT_COUNT} steps, {count} reminders")
    assert deaths == POINT_COUNT * each
    assert found["waiting"] == 0
    assert len(server.taken) == count, "lost"
    assert server.twice == 0


@pytest.mark.parametrize("each", SIZES)
def test_the_control_whose_receiver_knows_no_keys_gets_doubles(each, sqlite_place):
    with provider(seed=SEED, idempotent=False) as server:
        count, _, _ = died(sqlite_place("points"), server, each)
    again = sum(server.taken.values()) - len(server.taken)
    print(f"seed {SEED}: {count} reminders, told {again} times more without keys")
    # Two of the steps lie between the call and what is written of it. One reminder may
    # be told many times: it is the first in the queue each time.
    assert again >= each

"""Eight schedulers and eight workers at once (reference 8, F9; reference 7, P10)."""

import json

import pytest

from tests.faults.installation import kill

STEPS = 4
MANY = 8
SEED = 20270304
SIZES = [
    pytest.param(1_000, 4, id="ci", marks=pytest.mark.slow),
    pytest.param(10_000, 20, id="soak", marks=pytest.mark.soak),
]


def at_once(place, arm, *arguments, may_fall=False):
    """Start eight, and return what each tells.

    A control that writes without a pause may keep one from its turn until it gives up.
    """
    started = [place.start(arm, *arguments) for _ in range(MANY)]
    told = []
    for each in started:
        text, faults = each.communicate(timeout=900)
        assert may_fall or each.returncode == 0, faults[-3000:]
        told.append(json.loads(text) if text.strip() else None)
    return told


def scheduled(place, arm, count, kills, may_fall=False):
    place.run("set_up", count, "http://127.0.0.1:9/")
    for _ in range(kills):
        one = place.start(arm)
        try:
            one.communicate(timeout=4)
        except Exception:  # noqa: BLE001  (killed half-way or not: both are wanted)
            kill(one)
    at_once(place, arm, may_fall=may_fall)
    return place.run("report")["rows"]


@pytest.mark.parametrize(("count", "kills"), SIZES)
def test_eight_schedulers_write_each_reminder_once(count, kills, sqlite_place):
    assert scheduled(sqlite_place("eight"), "plan", count, kills) == STEPS * count


@pytest.mark.parametrize(("count", "kills"), SIZES)
def test_the_control_without_a_common_key_writes_more(count, kills, sqlite_place):
    place = sqlite_place("eight")
    rows = scheduled(place, "plan_without_key", count, 0, may_fall=True)
    print(f"{rows} rows where {STEPS * count} are right")
    assert rows > STEPS * count


@pytest.mark.parametrize(("count", "kills"), SIZES)
def test_eight_workers_claim_each_reminder_once(count, kills, sqlite_place):
    place = sqlite_place("claims")
    place.run("set_up", count, "http://127.0.0.1:9/")
    place.run("plan")
    taken = [number for each in at_once(place, "claim_all") for number in each]
    assert len(taken) == len(set(taken)) == count


@pytest.mark.parametrize(("count", "kills"), SIZES)
def test_the_control_that_looks_before_it_claims_doubles(count, kills, sqlite_place):
    place = sqlite_place("claims")
    place.run("set_up", count, "http://127.0.0.1:9/")
    place.run("plan")
    taken = [n for each in at_once(place, "claim_all", "careless") for n in each]
    print(f"{len(taken) - len(set(taken))} of {count} claimed twice without care")
    assert len(taken) > len(set(taken))

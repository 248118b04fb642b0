"""Nothing is lost and nothing is delivered twice, whoever is killed meanwhile.

After reference note 8, section 2.4 (F1, F3): a provider that refuses 2 % and loses 2 %
of its answers after it has taken the message. Each control arm must fail, or the test
would prove nothing: "mark, then send" loses, a receiver without keys gets doubles.
"""

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from tests.faults.installation import Installation
from tests.faults.killing import Plan, drain_under_kills
from tests.faults.provider import Provider, provider

SEED = 20270301
STEPS = 4  # 60, 30, 7 and 0 days before: of each thing the last one is sent


@dataclass(frozen=True)
class Size:
    reminders: int
    kills: int
    control: int
    crashes: int


IN_CI = Size(2_000, 10, 500, 2)
SOAK = Size(10_000, 50, 10_000, 5)
SIZES = [
    pytest.param(IN_CI, id="ci", marks=pytest.mark.slow),
    pytest.param(SOAK, id="soak", marks=pytest.mark.soak),
]


def prepared(place: Installation, count: int, server: Provider) -> Installation:
    place.run("set_up", count, server.url)
    place.run("plan")
    return place


def kills(
    size: Size, server: Provider, count: int, crash: Callable[[], None] | None = None
) -> Plan:
    return Plan(
        total=count,
        progress=lambda: server.requests,
        kills=size.kills,
        seed=SEED,
        crash=crash or (lambda: None),
        crashes=size.crashes if crash else 0,
    )


def hold_to_nothing_lost_nothing_twice(
    place: Installation, size: Size, crash: Callable[[], None] | None = None
) -> None:
    with provider(seed=SEED) as server:
        prepared(place, size.reminders, server)
        done = drain_under_kills(
            place, kills(size, server, size.reminders, crash), "outbox"
        )
        found = place.run("report")
        print(
            f"seed {SEED}, {found['vendor']}: {size.reminders} reminders, {done}, "
            f"{server.requests} requests, {server.refused} refused, "
            f"{server.dropped} answers lost, {server.twice} twice"
        )
        assert (done.kills, done.crashes) == (size.kills, size.crashes if crash else 0)
        assert found["rows"] == STEPS * size.reminders
        assert found["waiting"] == 0
        assert server.refused
        assert server.dropped
        assert set(server.taken) == set(found["sent"])
        assert len(server.taken) == size.reminders, "lost"
        assert server.requests > size.reminders, "the faults did not bite"
        assert server.twice == 0


@pytest.mark.parametrize("size", SIZES)
def test_on_sqlite_none_is_lost_and_none_twice(size, sqlite_place):
    hold_to_nothing_lost_nothing_twice(sqlite_place("outbox"), size)


@pytest.mark.postgres
@pytest.mark.parametrize("size", SIZES)
def test_on_a_postgresql_that_crashes_none_is_lost_and_none_twice(
    size, own_cluster, tmp_path
):
    url = own_cluster.make_database(f"outbox_{size.reminders}")
    place = Installation(tmp_path / "outbox", url)
    place.migrate()
    hold_to_nothing_lost_nothing_twice(place, size, own_cluster.crash)


@pytest.mark.parametrize("size", SIZES)
def test_the_control_that_marks_before_it_sends_loses(size, sqlite_place):
    with provider(seed=SEED) as server:
        place = prepared(sqlite_place("marked"), size.control, server)
        drain_under_kills(place, kills(size, server, size.control), "mark_first")
        found = place.run("report")
    assert found["states"]["sent"] == size.control, "all of them say sent"
    lost = size.control - len(server.taken)
    print(f"seed {SEED}: {lost} of {size.control} lost by the control arm")
    assert lost > 0


@pytest.mark.parametrize("size", SIZES)
def test_the_control_without_keys_delivers_some_twice(size, sqlite_place):
    with provider(seed=SEED, idempotent=False) as server:
        place = prepared(sqlite_place("unkeyed"), size.control, server)
        drain_under_kills(place, kills(size, server, size.control), "outbox")
    print(f"seed {SEED}: {server.twice} of {size.control} twice without keys")
    assert len(server.taken) == size.control
    assert server.twice > 0

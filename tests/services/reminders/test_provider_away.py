"""A provider that is away for a day: all is told soon after, once (reference 8, F7).

The clock is the test's own, in steps of five minutes. The control is a worker that
gives up after a few attempts, as queues are wont to: it tells nobody.
"""

from collections import Counter
from dataclasses import dataclass, field
from datetime import datetime, timedelta

import pytest

from maintenance.engine.reminding import attempts
from maintenance.engine.reminding.attempts import Outcome, Settled
from maintenance.engine.reminding.letters import Delivery, Letter
from maintenance.models import DeliveryTry, Message
from maintenance.services.reminders import drain as draining
from maintenance.services.reminders.database_clock import clock_sql
from maintenance.services.reminders.drain import drain
from maintenance.services.reminders.materialise import materialise
from tests.services.reminders.conftest import NOW

pytestmark = pytest.mark.django_db
MANY = 8
AWAY, STEP = timedelta(hours=24), timedelta(minutes=5)
SOON = timedelta(minutes=30)


@dataclass
class Away:
    """Refuses until it is back, and notes what it was given when."""

    back_at: datetime
    knows_keys: bool = False
    now: datetime = NOW
    asked: Counter[datetime] = field(default_factory=Counter)
    taken: dict[str, list[datetime]] = field(default_factory=dict)

    def deliver(self, delivery: Delivery) -> Outcome:
        assert isinstance(delivery, Letter)
        self.asked[self.now] += 1
        if self.now < self.back_at:
            return Outcome("refused", "421 closed for today")
        self.taken.setdefault(delivery.key, []).append(self.now)
        return Outcome("accepted")


def run_through(monkeypatch, channel, until):
    """Drain every five minutes, with the database's clock set to the same time."""
    while channel.now <= until:
        ahead = int((channel.now - NOW).total_seconds())
        for room in ("claim", "database_clock"):
            monkeypatch.setattr(
                f"maintenance.services.reminders.{room}.clock_sql",
                lambda more=0, ahead=ahead: clock_sql(more + ahead),
            )
        drain({"email": channel}, now=channel.now)
        channel.now += STEP


@pytest.fixture
def many_due(person, due):
    person()
    for number in range(MANY):
        due(about=f"custom:{number}")
    materialise(now=NOW)


def test_after_a_day_all_is_told_within_half_an_hour_and_once(many_due, monkeypatch):
    channel = Away(back_at=NOW + AWAY)
    run_through(monkeypatch, channel, NOW + AWAY + SOON)
    assert len(channel.taken) == MANY
    assert {len(times) for times in channel.taken.values()} == {1}
    assert max(times[0] for times in channel.taken.values()) <= NOW + AWAY + SOON
    states = Message.objects.exclude(state="superseded").values_list("state", flat=True)
    assert set(states) == {"sent"}
    # At most one attempt in the longest wait, after the first few: no storm of them.
    longest = timedelta(seconds=attempts.LONGEST_WAIT_S)
    assert sum(channel.asked.values()) <= MANY * (AWAY / longest + 10)
    told = DeliveryTry.objects.filter(ended="refused")
    assert told.count() == sum(channel.asked.values()) - MANY
    assert not told.filter(permanent=True).exists()


def test_the_control_that_gives_up_after_three_tells_nobody(many_due, monkeypatch):
    real = attempts.settle

    def three(outcome: Outcome, **told) -> Settled:
        return real(outcome, **told) if told["attempts"] < 3 else Settled("failed")

    monkeypatch.setattr(draining, "settle", three)
    channel = Away(back_at=NOW + AWAY)
    run_through(monkeypatch, channel, NOW + AWAY + SOON)
    assert channel.taken == {}

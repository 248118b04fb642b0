"""Waiting messages are delivered: claim, fence, call, settle.

The row is the truth: whoever dies on the way leaves a row that says how far it came.
No transaction is open while a channel is called.
"""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import datetime, timedelta
from time import monotonic
from typing import Final, Protocol

from maintenance.engine.errors import EngineError
from maintenance.engine.reminding.attempts import Outcome, Settled, settle
from maintenance.engine.reminding.letters import Delivery
from maintenance.engine.reminding.quiet import Quiet, when_allowed
from maintenance.models import Message
from maintenance.services.reminders.beats import DRAINED, beat
from maintenance.services.reminders.claim import (
    Attempted,
    claim,
    fence,
    let_go,
    settle_abandoned,
    write_settled,
)
from maintenance.services.reminders.compose import NotWanted, compose
from maintenance.services.reminders.database_clock import clock
from maintenance.services.reminders.telling import known_zone

LEASE_S: Final = 120
BATCH: Final = 20
_MINUTE_S: Final = 60


class Channel(Protocol):
    """A way to deliver; ``knows_keys`` says that it takes the same key only once."""

    knows_keys: bool

    def deliver(self, delivery: Delivery) -> Outcome:
        """Deliver, and tell how it went; a refusal is an outcome, not an error."""


@dataclass(slots=True)
class Drained:
    """What one round did, in messages; ``lost_claims`` were someone else's by then."""

    sent: int = 0
    refused: int = 0
    failed: int = 0
    uncertain: int = 0
    cancelled: int = 0
    postponed: int = 0
    lost_claims: int = 0

    @property
    def worked(self) -> int:
        """All that were gone through."""
        return sum(getattr(self, each.name) for each in fields(self))

    def add(self, other: "Drained") -> None:
        """Count what another round did as well."""
        for each in fields(self):
            both = getattr(self, each.name) + getattr(other, each.name)
            setattr(self, each.name, both)


def drain(
    channels: Mapping[str, Channel],
    *,
    now: datetime,
    most: int = 200,
    within_s: float = 50.0,
    lease_s: int = LEASE_S,
) -> Drained:
    """Deliver what waits.

    Parameters
    ----------
    channels : mapping
        Ways to deliver, by name.
    now : datetime
        The present; what is due and who holds it goes by the database's clock.
    most, within_s : int and float
        The round ends after so many messages, or so many seconds.
    lease_s : int
        How long a claim holds; longer than any call may take [s].
    """
    started, done = monotonic(), Drained()
    keyed = [name for name, channel in channels.items() if channel.knows_keys]
    asked_once = [name for name in channels if name not in keyed]

    def present() -> datetime:
        return now + timedelta(seconds=monotonic() - started)

    settle_abandoned(channels=asked_once, at=now)
    while done.worked < most and monotonic() - started < within_s:
        token = secrets.token_hex(16)
        ids = claim(
            channels=channels,
            keyed=keyed,
            token=token,
            lease_s=lease_s,
            most=min(BATCH, most - done.worked),
        )
        if not ids:
            break
        for message in _rows(ids):
            _deliver(
                message, channels[message.channel], token, lease_s, present(), done
            )
        beat(DRAINED, at=present())
    beat(DRAINED, at=present())
    return done


def _rows(ids: list[int]) -> list[Message]:
    return list(
        Message.objects.filter(pk__in=ids)
        .select_related("account", "obligation__site", "recipient", "webhook")
        .order_by("send_at", "pk")
    )


def _deliver(
    message: Message,
    channel: Channel,
    token: str,
    lease_s: int,
    now: datetime,
    done: Drained,
) -> None:
    later = _allowed(message, now)
    if later > now and not message.attempts:
        # Whose clock runs behind the database's must not take it up again at once.
        let_go(message.pk, token=token, send_at=later, lease_until=clock(_MINUTE_S))
        done.postponed += 1
        return
    delivery = compose(message)
    if isinstance(delivery, NotWanted):
        let_go(message.pk, token=token, state="cancelled", why=delivery.why)
        done.cancelled += 1
        return
    if not fence(message.pk, token=token, lease_s=lease_s):
        done.lost_claims += 1
        return
    outcome = _called(channel, delivery)
    settled = settle(
        outcome,
        attempts=message.attempts + 1,
        late_s=(now - message.send_at).total_seconds(),
        knows_keys=channel.knows_keys,
        resends=message.maybe_twice,
    )
    attempted = Attempted(message.pk, token, message.why, delivery.body_hash)
    if write_settled(attempted, outcome, settled, at=now):
        _count(done, settled)
    else:
        done.lost_claims += 1


def _called(channel: Channel, delivery: Delivery) -> Outcome:
    try:
        return channel.deliver(delivery)
    except EngineError as refusal:
        return Outcome("refused_for_good", str(refusal))
    except Exception as fault:  # noqa: BLE001  (one message must not stop all others)
        return Outcome("unknown", f"the program failed at it ({type(fault).__name__})")


def _allowed(message: Message, now: datetime) -> datetime:
    """Return the present, or the end of the quiet hours that it falls into."""
    person = message.recipient
    if person is None or person.quiet_from is None or person.quiet_until is None:
        return now
    quiet = Quiet(person.quiet_from, person.quiet_until)
    own = message.obligation.time_zone if message.obligation else ""
    return when_allowed(now, quiet, known_zone(person.time_zone or own))


def _count(done: Drained, settled: Settled) -> None:
    match settled.state:
        case "sent":
            done.sent += 1
        case "due":
            done.refused += 1
        case "failed":
            done.failed += 1
        case "uncertain":
            done.uncertain += 1

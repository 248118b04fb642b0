"""A message is claimed, fenced and settled by conditional statements; no lock is held.

Whoever changes the row owns it: a worker that was too slow finds its token gone and
keeps its hands off.
"""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from django.db import connection, transaction
from django.db.models import F

from maintenance.engine.reminding.attempts import Outcome, Settled, unknown
from maintenance.models import DeliveryTry, Message
from maintenance.services.reminders.database_clock import (
    clock,
    clock_sql,
    lease_over,
    lease_over_sql,
)

_WAITING = "state IN ('due', 'sending')"  # as the partial index has it
_LONGEST_WHY = 500


def claim(
    *,
    channels: Collection[str],
    keyed: Collection[str],
    token: str,
    lease_s: int,
    most: int,
) -> list[int]:
    """Claim messages whose time has come, in one statement, by the database's clock.

    Parameters
    ----------
    channels, keyed : collection of str
        Channels that can be served, and those of them that take a key only once:
        of these a message that a dead worker was sending is simply taken over.
    token : str
        The claim's own word.
    lease_s : int
        How long the claim holds [s].
    most : int
        At most so many.
    """
    if not channels:
        return []
    table = Message._meta.db_table  # noqa: SLF001  (public all the same)
    locked = "FOR UPDATE SKIP LOCKED" if connection.vendor == "postgresql" else ""
    taken_over = f"OR channel IN ({_marks(keyed)})" if keyed else ""
    # Only names and numbers of ours stand in the text; all else is a parameter.
    statement = (
        f"WITH picked AS MATERIALIZED (SELECT id FROM {table} WHERE {_WAITING}"  # noqa: S608
        f" AND send_at <= {clock_sql()}"
        f" AND {lease_over_sql()}"
        f" AND channel IN ({_marks(channels)}) AND (state = 'due' {taken_over})"
        f" ORDER BY send_at, id LIMIT %s {locked})"
        f" UPDATE {table} SET token = %s, lease_until = {clock_sql(lease_s)}"
        " WHERE id IN (SELECT id FROM picked) RETURNING id"
    )
    with connection.cursor() as cursor:
        cursor.execute(statement, [*channels, *keyed, most, token])
        return sorted(row[0] for row in cursor.fetchall())


def fence(message_id: int, *, token: str, lease_s: int) -> bool:
    """Say just before the call that it is made; False if someone else owns it now."""
    changed = Message.objects.filter(
        pk=message_id, token=token, state__in=("due", "sending")
    ).update(state="sending", attempts=F("attempts") + 1, lease_until=clock(lease_s))
    return changed == 1


@dataclass(frozen=True, slots=True)
class Attempted:
    """A message that was called for, with what its delivery said."""

    id: int
    token: str
    why: str
    body_hash: str = ""


@transaction.atomic
def write_settled(
    attempted: Attempted, outcome: Outcome, settled: Settled, *, at: datetime
) -> bool:
    """Write what became of an attempt, and its row; False if it was not ours any more."""
    changed = Message.objects.filter(
        pk=attempted.id, token=attempted.token, state="sending"
    ).update(
        state=settled.state,
        token="",
        lease_until=clock(settled.wait_s) if settled.wait_s else None,
        why=_with(
            attempted.why,
            settled.why if settled.state != "due" or settled.doubled else "",
        ),
        maybe_twice=F("maybe_twice") + int(settled.doubled),
        sent_at=at if settled.state == "sent" else None,
        provider_id=outcome.provider_id[:200],
        body_hash=attempted.body_hash,
    )
    DeliveryTry.objects.create(
        message_id=attempted.id,
        at=at,
        ended=outcome.kind if changed else "late",
        permanent=outcome.kind == "refused_for_good",
        error=outcome.error[:2000],
    )
    return changed == 1


def let_go(message_id: int, *, token: str, **columns: object) -> bool:
    """Give a claimed message back unsent, changed; no attempt is counted."""
    given: dict[str, object] = {"token": "", "lease_until": None, **columns}
    return Message.objects.filter(pk=message_id, token=token).update(**given) == 1


def settle_abandoned(*, channels: Collection[str], at: datetime) -> int:
    """Settle what dead workers were sending by channels that nobody can ask.

    Whether it arrived is not known: it is sent once more, and after that a person
    decides. Each is an attempt of its own row, told as such.
    """
    settled = 0
    abandoned = Message.objects.filter(
        lease_over(), state="sending", channel__in=channels
    )
    for row in abandoned.only("token", "attempts", "maybe_twice", "why"):
        error = "the worker ended between the call and its answer"
        after = unknown(error, attempts=row.attempts, resends=row.maybe_twice)
        with transaction.atomic():
            changed = Message.objects.filter(
                lease_over(), pk=row.pk, state="sending", token=row.token
            ).update(
                state=after.state,
                token="",
                lease_until=None,
                why=_with(row.why, after.why),
                maybe_twice=F("maybe_twice") + int(after.doubled),
            )
            if changed:
                DeliveryTry.objects.create(
                    message=row, at=at, ended="unknown", error=error
                )
        settled += changed
    return settled


def _with(why: str, more: str) -> str:
    return " ".join(filter(None, (why, more)))[:_LONGEST_WHY]


def _marks(names: Collection[str]) -> str:
    return ", ".join(["%s"] * len(names))

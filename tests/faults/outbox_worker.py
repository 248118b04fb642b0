"""What runs in the processes that are killed: the real outbox, and arms that must fail.

``python -m tests.faults.outbox_worker ARM …``; the fail points stand here and not in
the program, which is only wrapped.
"""

import json
import os
import signal
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime, time as day_time, timedelta
from pathlib import Path
from typing import Any

import django

django.setup()

from django.db import connection, connections  # noqa: E402

from maintenance.models import DeliveryTry, Message, Obligation, Recipient, Webhook  # noqa: E402
from maintenance.services.accounts import local_account  # noqa: E402
from maintenance.services.reminders import (  # noqa: E402
    claim as claiming,
    database_clock,
    drain as draining,
    materialise as planning,
)
from maintenance.services.reminders.drain import drain  # noqa: E402
from maintenance.services.reminders.materialise import materialise  # noqa: E402
from tests.faults.loopback import CHANNELS, LEASE_S, deliver_at_once  # noqa: E402
from tests.faults.outbox_points import POINTS as NAMES  # noqa: E402


def now() -> datetime:
    return datetime.now(UTC)


def set_up(count: str, url: str) -> None:
    """Make things that are due, and one who is told: an address, or a person."""
    account = local_account()
    if url.startswith("http"):
        Webhook.objects.create(account=account, url=url, secret="whsec_c2VjcmV0")
    else:
        Recipient.objects.create(
            account=account, name="Ada", email=url, morning=day_time(0)
        )
    day = now().date() - timedelta(days=1)
    rows = [
        Obligation(
            account=account,
            kind="custom",
            about=f"custom:{number}",
            what=f"Thing {number}",
            due_on=day,
            time_zone="UTC",
        )
        for number in range(int(count))
    ]
    Obligation.objects.bulk_create(rows, batch_size=500)


def plan() -> None:
    materialise(now=now())


def plan_without_key() -> None:
    """The control arm: each scheduler's rows have keys of their own."""

    def add_all(rows: Any) -> int:
        new = list(rows)
        for row in new:
            row.key += f":{os.getpid()}"
        Message.objects.bulk_create(new, batch_size=500)
        return len(new)

    planning._add_new = add_all
    materialise(now=now())


def queue_each(most: str = "") -> None:
    """The control arm of the queue: each message is queued, and nothing looks again."""
    from irrigation_site.celery import app  # noqa: PLC0415  (needs Redis)

    due = Message.objects.filter(state__in=("due", "sent")).order_by("pk")
    for number in due.values_list("pk", flat=True)[: int(most or 10**9)]:
        app.send_task("faults.tell_one", [number])


def waiting() -> int:
    return Message.objects.filter(state__in=("due", "sending")).count()


def outbox(offset_file: str = "") -> None:
    """Drain until nothing waits; the clock may be set wrong by a file meanwhile."""
    if offset_file:
        _shift_clocks(Path(offset_file))
    while waiting():
        if not drain(CHANNELS, now=now(), lease_s=LEASE_S).worked:
            time.sleep(0.1)


def _shift_clocks(path: Path) -> None:
    real, here = database_clock.clock_sql, now

    def offset() -> int:
        return int(path.read_text() or 0)

    def shifted(ahead_s: int = 0) -> str:
        return real(ahead_s + offset())

    database_clock.clock_sql = shifted
    claiming.clock_sql = shifted  # type: ignore[attr-defined]
    globals()["now"] = lambda: here() + timedelta(seconds=offset())


def mark_first() -> None:
    """The control arm A: mark as sent, then send; the row no longer knows."""
    while ids := list(
        Message.objects.filter(state="due").values_list("pk", flat=True)[:20]
    ):
        for number in ids:
            if Message.objects.filter(pk=number, state="due").update(state="sent"):
                deliver_at_once(number)


def claim_all(careless: str = "") -> None:
    """Claim everything in batches and tell which; carelessly by looking first."""
    taken: list[int] = []
    while True:
        if careless:
            rows = Message.objects.filter(state="due", token="").order_by(
                "send_at", "pk"
            )
            found = list(rows.values_list("pk", flat=True)[:20])
            Message.objects.filter(pk__in=found).update(token=str(os.getpid()))
        else:
            found = claiming.claim(
                channels=CHANNELS,
                keyed=[],
                token=str(os.getpid()),
                lease_s=600,
                most=20,
            )
        if not found:
            break
        taken += found
    tell(taken)


def kill_points(count: str) -> None:
    """Die so many times at each step of the outbox, then drain what is left."""
    connections.close_all()  # a child takes no connection along
    deaths = 0
    for prepare in POINTS.values():
        for _ in range(int(count)):
            child = os.fork()
            if child == 0:
                prepare()
                drain(CHANNELS, now=now(), most=1, lease_s=1)
                os._exit(0)
            _, status = os.waitpid(child, 0)
            deaths += os.WIFSIGNALED(status)
    outbox()
    tell(deaths)


def die(*_args: Any, **_more: Any) -> None:
    os.kill(os.getpid(), signal.SIGKILL)


def _after(module: Any, name: str) -> None:
    real = getattr(module, name)

    def dying(*args: Any, **more: Any) -> None:
        if real(*args, **more):
            die()

    setattr(module, name, dying)


def _die_after_call() -> None:
    real = draining._called

    def dying(*args: Any) -> None:
        real(*args)
        die()

    draining._called = dying  # type: ignore[assignment]


POINTS = {
    "after the claim": lambda: _after(draining, "claim"),
    "before the fence": lambda: setattr(draining, "fence", die),
    "after the fence": lambda: _after(draining, "fence"),
    "after the call": _die_after_call,
    "half-way through settling": lambda: setattr(DeliveryTry.objects, "create", die),
    "after settling": lambda: _after(draining, "write_settled"),
}


def report() -> None:
    states: dict[str, int] = {}
    for state in Message.objects.values_list("state", flat=True):
        states[state] = states.get(state, 0) + 1
    doubted = Message.objects.filter(maybe_twice__gt=0) | Message.objects.filter(
        state="uncertain"
    )
    tell(
        {
            "rows": Message.objects.count(),
            "states": states,
            "sent": list(
                Message.objects.filter(state="sent").values_list("key", flat=True)
            ),
            "doubted": list(doubted.values_list("key", flat=True)),
            "waiting": waiting(),
            "vendor": connection.vendor,
        }
    )


def tell(value: Any) -> None:
    print(json.dumps(value), flush=True)


assert tuple(POINTS) == NAMES

ARMS: dict[str, Callable[..., None]] = {
    "set_up": set_up,
    "plan": plan,
    "plan_without_key": plan_without_key,
    "outbox": outbox,
    "mark_first": mark_first,
    "claim_all": claim_all,
    "queue_each": queue_each,
    "kill_points": kill_points,
    "report": report,
}

if __name__ == "__main__":
    ARMS[sys.argv[1]](*sys.argv[2:])

"""What the tests of the register state and report of an assembly."""

from datetime import UTC, date, datetime
from typing import Any

from maintenance.models import Account, Device
from maintenance.services.backflow.due_queries import due_lines
from maintenance.services.backflow.events import Happened, record_event
from maintenance.services.backflow.facts import (
    StatedFacts,
    stated_facts,
    store_facts,
)
from tests.services.backflow.field_tests import SITE

NOON = datetime(2026, 11, 20, 19, 0, tzinfo=UTC)  # 12:00 at the site


def device(link: str = "B1") -> Any:
    return Device.objects.select_related("site", "link").get(
        site__key=SITE, link__key=link, until=None
    )


def state(account: Account, link: str = "B1", **told: Any) -> int:
    """State more facts of an assembly, as someone who has seen the last version."""
    row = device(link)
    kept = getattr(row, "facts", None)
    known = {
        name: getattr(stated_facts(kept), name)
        for name in StatedFacts.__dataclass_fields__
    }
    return store_facts(
        account,
        device_id=row.pk,
        stated=StatedFacts(**{**known, **told}),
        version=kept.version if kept else 0,
        now=NOON,
        actor="Ada",
    )


def tell(account: Account, kind: str, on: date, link: str = "B1", **more: Any) -> int:
    """Report what befell an assembly."""
    return record_event(
        account,
        device_id=device(link).pk,
        told=Happened(kind=kind, on=on, **more),
        now=more.pop("now", NOON),
        actor="Ada",
    )


def due_of(account: Account, link: str = "B1", now: datetime = NOON) -> Any:
    lines, _ = due_lines(account, now=now)
    return next(line for line in lines if line.assembly.link == link)

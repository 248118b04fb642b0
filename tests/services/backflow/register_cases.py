"""What the tests of the register state and report of an assembly."""

from datetime import UTC, date, datetime
from io import BytesIO
from typing import Any

from PIL import Image

from maintenance.models import Account, Device, OwnRule
from maintenance.services.backflow.due_queries import due_lines
from maintenance.services.backflow.events import Happened, record_event
from maintenance.services.backflow.facts import (
    StatedFacts,
    stated_facts,
    store_facts,
)
from maintenance.services.backflow.own_rules import add_rule
from maintenance.services.backflow.photos import add_photo
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


def keep_assembly(account: Account, site: str, link: str, word: str) -> dict[str, int]:
    """Keep facts, an event and a photo of an assembly; return the ids."""
    row = Device.objects.get(
        site__account=account, site__key=site, link__key=link, until=None
    )
    how: dict[str, Any] = {"device_id": row.pk, "now": NOON, "actor": f"{word} office"}
    stated = StatedFacts(protects=f"{word} lawn", place="washington")
    store_facts(account, stated=stated, version=0, **how)
    told = Happened(kind="removed", on=date(2026, 10, 14), stored_at=f"{word} shed")
    return {
        "device_id": row.pk,
        "event_id": record_event(account, told=told, **how),
        "photo_id": add_photo(
            account, picture=BytesIO(small_photo()), caption=f"{word} photo", **how
        ),
    }


def keep_rule(account: Account, name: str, word: str, *, new: bool) -> str:
    """Keep a rule of the account's own, if it has none yet; return its id."""
    cells = {
        "place": "washington",
        "place_name": "Washington (state)",
        "trigger": "frozen",
        "source": f"{word} letter",
        "checked": "2026-11-19",
    }
    if not new:
        return OwnRule.objects.filter(account=account).first().key  # type: ignore[union-attr]
    return add_rule(
        account, name=name, cells=cells, now=NOON, actor=f"{word} office"
    ).id


def small_photo() -> bytes:
    """Return a photo as a telephone would send it, but small."""
    out = BytesIO()
    Image.new("RGB", (80, 60), "red").save(out, "JPEG")
    return out.getvalue()

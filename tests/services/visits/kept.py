"""Calls, visits and findings of the tests, made through the services as people do."""

from datetime import UTC, date, datetime
from io import BytesIO
from typing import Any

from PIL import Image

from maintenance.models import Account
from maintenance.services.visits.calls import CallTold, take_call
from maintenance.services.visits.carry_out import end_visit, start_visit
from maintenance.services.visits.choose import VisitChoice
from maintenance.services.visits.findings import FindingTold, note_finding
from maintenance.services.visits.photos import add_visit_photo
from maintenance.services.visits.plan import VisitPlan, plan_visit
from maintenance.services.visits.saved_filters import keep_filter, kept_filters

MORNING = datetime(2026, 10, 14, 14, 0, tzinfo=UTC)
NOON = datetime(2026, 10, 14, 18, 0, tzinfo=UTC)
TODAY = date(2026, 10, 14)
AUTUMN: dict[str, Any] = {"kind": "shutdown", "season_year": 2026}


def picture() -> BytesIO:
    """Return a small photo as a telephone sends it."""
    out = BytesIO()
    Image.new("RGB", (40, 30), "grey").save(out, "JPEG")
    out.seek(0)
    return out


def planned(account: Account, site: str, **fields: Any) -> int:
    """Plan a visit, a repair on the day of the tests where nothing else is said."""
    told = {"kind": "repair", "planned_on": TODAY, "worker": "Ann", **fields}
    return plan_visit(
        account, site_key=site, plan=VisitPlan(**told), now=MORNING, actor="office"
    )


def begun(account: Account, site: str, **fields: Any) -> int:
    """Plan a visit and begin it."""
    visit = planned(account, site, **fields)
    start_visit(account, visit_id=visit, version=1, now=MORNING, actor="Ann")
    return visit


def ended(account: Account, site: str, outcome: str, note: str = "", **fields: Any):
    """Plan a visit, begin and end it."""
    visit = begun(account, site, **fields)
    end_visit(
        account,
        visit_id=visit,
        version=2,
        outcome=outcome,
        note=note,
        now=NOON,
        actor="Ann",
    )
    return visit


def keep_visits(account: Account, site: str, word: str) -> dict[str, int]:
    """Keep one of each, with a word in every text; return their numbers."""
    call = take_call(
        account,
        site_key=site,
        told=CallTold(what=f"{word} leak", caller=word, reach_at=word),
        now=MORNING,
        actor=f"{word} owner",
    )
    plan = VisitPlan(kind="repair", worker=f"{word} crew", notes=f"{word} code 12")
    visit = plan_visit(
        account, site_key=site, plan=plan, call_id=call, now=MORNING, actor=word
    )
    finding = note_finding(
        account,
        visit_id=visit,
        told=FindingTold(what=f"{word} head broken"),
        now=MORNING,
        actor=f"{word} owner",
    )
    photo = add_visit_photo(
        account,
        visit_id=visit,
        picture=picture(),
        caption=f"{word} box",
        now=MORNING,
        actor=f"{word} owner",
    )
    name = f"{word} choice {site}"
    keep_filter(
        account,
        name=name,
        choice=VisitChoice(area=word),
        now=MORNING,
        actor=f"{word} owner",
    )
    kept = next(each for each in kept_filters(account) if each.name == name)
    return {
        "visit_id": visit,
        "call_id": call,
        "finding_id": finding,
        "picture_id": photo,
        "filter_id": kept.pk,
    }

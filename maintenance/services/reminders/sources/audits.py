"""Audits of the heads, by the owner's own rule and nobody else's."""

from datetime import date, datetime

from maintenance.engine.calendar.local_time import local_date
from maintenance.engine.errors import InputError
from maintenance.engine.reminding.planning_days import next_audit
from maintenance.engine.reminding.reconcile import Found
from maintenance.models import Account, Site, Visit
from maintenance.services.reminders.sources.looked import Looked, stated
from maintenance.services.reminders.telling import known_zone

_DONE = ("done", "done_by_others")


def look(account: Account, *, now: datetime) -> Looked:
    """Find the next audit of each site, where the owner has given a rule."""
    looked = Looked(("head_audit",))
    record = stated(account, "head_audit")
    rule, first = str(record.get("rule") or ""), str(record.get("first") or "")
    if not rule or not first:
        return looked
    last = _last_audits(account)
    for site in Site.objects.for_account(account).standing():
        zone = known_zone(site.time_zone)
        done = last.get(site.pk)
        done_on = local_date(done, zone) if done else None
        try:
            by = next_audit(rule, last=done_on, first=date.fromisoformat(first))
        except (InputError, ValueError):
            return looked
        looked.found.append(
            Found(
                kind="head_audit",
                about=f"site:{site.pk}",
                due_on=by.on,
                what="Audit the heads",
                why=by.why,
                zone=zone,
                site=site.pk,
                last_done_on=done_on,
            )
        )
    return looked


def _last_audits(account: Account) -> dict[int, datetime]:
    visits = Visit.objects.for_account(account).filter(
        kind="head_audit", state="ended", outcome__in=_DONE, left_at__isnull=False
    )
    # The latest comes last and stays.
    rows = visits.order_by("left_at").values_list("site_id", "left_at")
    return {site: left for site, left in rows if left is not None}

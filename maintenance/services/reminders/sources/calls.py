"""What was promised to people who called."""

from datetime import datetime
from typing import Final

from maintenance.engine.reminding.reconcile import Found
from maintenance.models import Account, ServiceCall
from maintenance.services.reminders.sources.looked import Looked, open_abouts
from maintenance.services.reminders.telling import known_zone

_LONGEST: Final = 120


def look(account: Account, *, now: datetime) -> Looked:
    """Find calls that are open and have a day that was promised."""
    looked = Looked(("promised_call",))
    calls = ServiceCall.objects.for_account(account).filter(
        closed_at=None, promised_by__isnull=False, site__retired_at=None
    )
    for call in calls.select_related("site"):
        if call.promised_by is None:
            continue
        asked = " ".join(call.what.split())[:_LONGEST]
        caller = f" to {call.caller}" if call.caller else ""
        looked.found.append(
            Found(
                kind="promised_call",
                about=f"call:{call.pk}",
                due_on=call.promised_by,
                what=f"Promised{caller}: {asked}",
                why=f"Promised for {call.promised_by} when the call was taken.",
                zone=known_zone(call.site.time_zone),
                site=call.site_id,
            )
        )
    told = [int(each.split(":")[1]) for each in open_abouts(account, "promised_call")]
    closed = ServiceCall.objects.for_account(account).filter(
        pk__in=told, closed_at__isnull=False
    )
    looked.done = [
        ("promised_call", f"call:{pk}") for pk in closed.values_list("pk", flat=True)
    ]
    return looked

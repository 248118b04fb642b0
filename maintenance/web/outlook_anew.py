"""After the weather of a site changed its outlook is kept anew, and the person told."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from django.contrib import messages
from django.http import HttpRequest
from django.utils import timezone

from maintenance.engine.errors import EngineError
from maintenance.services.weather.outlooks import keep_outlook

if TYPE_CHECKING:
    from maintenance.models import Account

MOST_AT_ONCE: Final = 4
"""Following the ground takes seconds for each site: more are left to the refresh."""


def keep_outlook_anew(
    request: HttpRequest, account: "Account", site_keys: Sequence[str]
) -> None:
    """Work out and keep the outlooks of sites; what was stored before stays stored.

    A site whose outlook cannot be worked out is told beside what was stored.
    """
    for key in site_keys[:MOST_AT_ONCE]:
        try:
            worked = keep_outlook(account, site_key=key, now=timezone.now())
        except EngineError as refusal:
            messages.warning(
                request, f"No outlook can be worked out for {key}: {_ended(refusal)}"
            )
            continue
        if worked.basis.no_dates:
            messages.warning(
                request, f"No dates come from this station: {worked.basis.no_dates}"
            )
    left = len(site_keys) - MOST_AT_ONCE
    if left > 0:
        messages.info(
            request,
            f"The outlooks of {left} more site{'' if left == 1 else 's'} follow with the "
            "next refresh; their own pages are right at once.",
        )


def _ended(refusal: Exception) -> str:
    text = str(refusal)
    return text if text.endswith(".") else f"{text}."

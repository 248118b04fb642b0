"""Who is asking: found once for each request, and handed to whoever needs it."""

from typing import TYPE_CHECKING, Final

from django.conf import settings
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest

from maintenance.services.accounts import local_account
from maintenance.services.people.standing import (
    Viewer,
    viewer_alone,
    viewer_of_user,
)

if TYPE_CHECKING:
    from maintenance.models import Account

CHOSEN: Final = "account"
"""In the session: the key of the account that the person works in."""
_KEPT: Final = "_viewer"


def accounts_on() -> bool:
    """Tell whether people sign in; without that there is one person, on one machine."""
    return bool(settings.ACCOUNTS)


def find_viewer(request: HttpRequest) -> Viewer | None:
    """Return who asks; None for one who is not signed in or belongs nowhere."""
    if not hasattr(request, _KEPT):
        setattr(request, _KEPT, _find(request))
    found: Viewer | None = getattr(request, _KEPT)
    return found


def viewer_of(request: HttpRequest) -> Viewer:
    """Return who asks, where the gate has let only those in who belong somewhere."""
    viewer = find_viewer(request)
    if viewer is None:
        raise PermissionDenied
    return viewer


def account_of(request: HttpRequest) -> "Account":
    """Return the account that the person works in, limited to what they may see."""
    return viewer_of(request).account


def actor_of(request: HttpRequest) -> str:
    """Return the name that the history keeps; the one person needs none."""
    person = viewer_of(request).person if accounts_on() else None
    return person.name if person else ""


def _find(request: HttpRequest) -> Viewer | None:
    if not accounts_on():
        return viewer_alone(local_account())
    user = getattr(request, "user", None)
    if user is None or user.pk is None or not user.is_authenticated:
        return None
    return viewer_of_user(user.pk, account_key=request.session.get(CHOSEN, ""))

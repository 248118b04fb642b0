"""The sentence on every page that reminders are silent, asked for now and then."""

from time import monotonic
from typing import Final

from django.conf import settings
from django.http import HttpRequest
from django.utils import timezone

from maintenance.services.silence import silent_because
from maintenance.web.access.viewer import find_viewer

_MOST_ACCOUNTS: Final = 1000
_asked: dict[int, tuple[float, tuple[str, ...]]] = {}


def silence(request: HttpRequest) -> tuple[str, ...]:
    """Return why reminders are silent, to those who could see to it; else nothing.

    The answer of an account is kept by this process for half a minute, so that a page
    costs no query of its own.
    """
    every = settings.SILENCE_LOOKED_FOR_EVERY_S
    viewer = find_viewer(request) if every is not None else None
    if every is None or viewer is None or not viewer.may("plan"):
        return ()
    key, now = viewer.account.pk, monotonic()
    asked, found = _asked.get(key, (-float("inf"), ()))
    if now - asked >= every:
        if len(_asked) >= _MOST_ACCOUNTS:
            _asked.clear()
        found = silent_because(viewer.account, now=timezone.now())
        _asked[key] = (now, found)
    return found

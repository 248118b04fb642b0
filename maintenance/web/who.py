"""Who is at work: a name that each report carries.

It is the signed-in person's. Where nobody signs in, the browser keeps what was typed.
"""

from typing import Final
from urllib.parse import quote, unquote

from django.conf import settings
from django.http import HttpRequest, HttpResponse

from maintenance.web.access.viewer import accounts_on, actor_of

COOKIE: Final = "who"
NOBODY_NAMED: Final = "Someone"
LONGEST: Final = 60
_A_YEAR_S: Final = 365 * 24 * 3600


def name_kept(request: HttpRequest) -> str:
    """Return the person's name, or the one that this browser keeps, or nothing."""
    if accounts_on():
        return actor_of(request)
    written = unquote(request.COOKIES.get(COOKIE, ""))
    # A cookie can hold anything; no name has lines or signs that cannot be stored.
    return " ".join("".join(c for c in written if c.isprintable()).split())[:LONGEST]


def who_works(request: HttpRequest) -> str:
    """Return the name that a report is kept under."""
    return name_kept(request) or NOBODY_NAMED


def keep_name(answer: HttpResponse, name: str) -> None:
    """Keep a name in the browser."""
    answer.set_cookie(
        COOKIE,
        quote(" ".join(name.split())[:LONGEST]),
        max_age=_A_YEAR_S,
        samesite="Lax",
        secure=settings.SESSION_COOKIE_SECURE,
        httponly=True,
    )

"""Who is at work with this browser: a name that each report carries."""

from typing import Final
from urllib.parse import quote, unquote

from django.http import HttpRequest, HttpResponse

COOKIE: Final = "who"
NOBODY_NAMED: Final = "Someone"
LONGEST: Final = 60
_A_YEAR_S: Final = 365 * 24 * 3600


def name_kept(request: HttpRequest) -> str:
    """Return the name that this browser keeps, empty where there is none."""
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
        httponly=True,
    )

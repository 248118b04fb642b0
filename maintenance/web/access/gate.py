"""The one gate: every request passes it on its way to a view."""

from collections.abc import Callable
from typing import Any, Final, Literal
from urllib.parse import urlencode, urlsplit

from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotAllowed
from django.http.response import HttpResponseBase
from django.shortcuts import redirect
from django.urls import reverse

from maintenance.services.people.roles import WHAT_FOR, Permission
from maintenance.web.access.routes import (
    ANYONE,
    OF_A_SITE,
    ONLY_WITH_ACCOUNTS,
    ROUTES,
    SIGNED_IN,
    Need,
)
from maintenance.web.access.viewer import accounts_on, find_viewer
from maintenance.web.page import show_page

LOOKING: Final = ("GET", "HEAD")
NOT_LISTED: Final = (
    "This address stands in no line of the table of permissions, so nobody may use it."
)
SIGN_IN_FIRST: Final = "You are not signed in, or not any more: nothing was changed."


class Gate:
    """Asks the table what a route needs, and lets in whoever has it."""

    def __init__(self, answer: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self._answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Pass the request on; it is stopped, if at all, once its view is known."""
        return self._answer(request)

    def process_view(
        self,
        request: HttpRequest,
        _view: Callable[..., Any],
        _args: tuple[Any, ...],
        named: dict[str, Any],
    ) -> HttpResponse | None:
        """Return the refusal, or None to go on to the view."""
        match = request.resolver_match
        route = match.view_name if match else ""
        if route not in ROUTES:
            return refused(request, NOT_LISTED)
        if not accounts_on() and route in ONLY_WITH_ACCOUNTS:
            raise Http404
        needed = _needed(route, request.method)
        if needed is None:
            return HttpResponseNotAllowed(_methods(route))
        if not accounts_on() or needed == ANYONE:
            return None
        return _for_person(request, route, needed, named)


def _needed(route: str, method: str | None) -> Need:
    """Return what a method of a route needs, None where it has no such method."""
    look, act = ROUTES[route]
    if method in LOOKING:
        return look
    return act if method == "POST" else None


def _for_person(
    request: HttpRequest,
    route: str,
    needed: Permission | Literal["signed in"],
    named: dict[str, Any],
) -> HttpResponse | None:
    """Refuse who may not, and hide sites that were not granted."""
    if not request.user.is_authenticated:
        return _sign_in(request)
    if needed == SIGNED_IN:
        return None
    viewer = find_viewer(request)
    if viewer is None:
        return refused(
            request,
            "You belong to no account here, or not any more: ask its owner for an "
            "invitation.",
        )
    hidden = viewer.site_keys is not None and named.get("key") not in viewer.site_keys
    if route in OF_A_SITE and hidden:
        raise Http404
    if not viewer.may(needed):
        return refused(
            request,
            f"In the role of {viewer.role} you may not {WHAT_FOR[needed]}: ask an owner "
            f"of {viewer.account.name}.",
        )
    return None


def refused(request: HttpRequest, sentence: str) -> HttpResponse:
    """Answer 403 with one sentence."""
    return show_page(request, "not_allowed.html", {"sentence": sentence}, status=403)


def _sign_in(request: HttpRequest) -> HttpResponse:
    """Lead to the sign-in page; what would have changed something is refused."""
    where = reverse("account_login")
    if request.method in LOOKING and "HX-Request" not in request.headers:
        return redirect(f"{where}?{urlencode({'next': request.get_full_path()})}")
    answer = refused(request, SIGN_IN_FIRST)
    if "HX-Request" in request.headers:  # the library follows this whatever the status
        page = urlsplit(request.headers.get("HX-Current-URL", "")).path or "/"
        answer["HX-Redirect"] = f"{where}?{urlencode({'next': page})}"
    return answer


def _methods(route: str) -> list[str]:
    look, act = ROUTES[route]
    return [*(LOOKING if look else ()), *(["POST"] if act else ())]

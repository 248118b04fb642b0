"""What every answer tells the browser, errors included, and the token of forms."""

from typing import Any

import pytest
from django.http import HttpRequest, HttpResponse
from django.test import Client
from django.urls import reverse

from maintenance.web.access.routes import ROUTES
from tests.web.access.walk import routes, value_of
from tests.web.access.world import World, signed_in

POLICY = [
    "base-uri 'none'",
    "default-src 'self'",
    "form-action 'self'",
    "frame-ancestors 'none'",
    "img-src 'self' data:",
    "object-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
]

PHOTOS = {"assembly_photo", "visit_photo"}
OF_A_PHOTO = ["default-src 'none'", "sandbox"]
"""What a stranger has taken may do nothing at all."""

SECRET_LINKS = {"calendar_feed", "stop_reminders"}
"""Their addresses are secrets: what lies behind them tells no page of ours either."""

WITHOUT_TOKEN = {"stop_reminders"}
"""A mail program presses this one; the secret in its address stands for the token."""


def _look_at(answer: Any, name: str = "") -> None:
    if answer.streaming:
        list(answer)  # to its end, where the file is closed
    told = answer.headers
    policy = sorted(told["Content-Security-Policy"].split("; "))
    assert policy == POLICY or (name in PHOTOS and policy == OF_A_PHOTO), name
    assert told["X-Content-Type-Options"] == "nosniff"
    assert told["X-Frame-Options"] == "DENY"
    quiet = {"no-referrer"} if name in SECRET_LINKS else set()
    assert told["Referrer-Policy"] in {"same-origin", *quiet}, name
    assert told["Cross-Origin-Opener-Policy"] == "same-origin"
    assert "camera=()" in told["Permissions-Policy"]
    # A calendar may be kept, for its reader asks each time whether it has changed.
    kept = name in SECRET_LINKS and told["Cache-Control"] == "private, no-cache"
    assert kept or "no-store" in told["Cache-Control"], name
    for cookie in answer.cookies.values():
        if cookie.value:
            assert cookie["httponly"], cookie
            assert cookie["samesite"] == "Lax", cookie


def _addresses(world: World) -> list[tuple[str, str]]:
    return [
        (
            route.name,
            reverse(
                route.name,
                kwargs={n: value_of(route, n, world.ours)[0] for n in route.names},
            ),
        )
        for route in routes()
    ]


@pytest.mark.slow
def test_every_route_tells_them(world: World) -> None:
    client = signed_in("owner")
    asked = 0
    for name, address in _addresses(world):
        if name == "account_logout":
            continue
        for ask in (client.get, client.put, Client().get, Client().post):
            _look_at(ask(address), name)
            asked += 1
    assert asked > 300


def test_errors_tell_them_too(world: World, monkeypatch: pytest.MonkeyPatch) -> None:
    client = signed_in("owner")
    client.raise_request_exception = False

    def broken(*_args: object) -> None:
        raise RuntimeError("seam")

    _look_at(client.get("/nowhere/"))
    refused = Client().post("/sites/lateral/retire/")
    assert refused.status_code == 403
    _look_at(refused)
    strange = client.get("/", headers={"host": "elsewhere.example"})
    assert strange.status_code == 400
    _look_at(strange)
    monkeypatch.setattr("maintenance.web.views.home.sites", broken)
    failed = client.get("/")
    assert failed.status_code == 500
    _look_at(failed)


def test_every_form_wants_its_token(world: World) -> None:
    strict = signed_in("owner", strict=True)
    for name, address in _addresses(world):
        if ROUTES[name][1] is None or name in WITHOUT_TOKEN:
            continue
        answer = strict.post(address)
        assert answer.status_code == 403, name
        assert "did not come from a page of ours" in answer.content.decode(), name
        _look_at(answer)


def test_nothing_inline_runs_on_the_pages_about_signing_in(world: World) -> None:
    client = signed_in("owner")
    looked = 0
    for name, address in _addresses(world):
        if not name.startswith(("account_", "mfa_")):
            continue
        for asker in (client, Client()):
            answer = asker.get(address)
            if answer.status_code == 200 and "html" in answer.headers["Content-Type"]:
                _nothing_inline(answer.content.decode(), name)
                looked += 1
    assert looked > 15


def _nothing_inline(body: str, name: str) -> None:
    import re  # noqa: PLC0415

    assert body.count("<h1") == 1, name
    assert not re.search(r"<style\b|\sstyle=|\son[a-z]+=|javascript:", body), name
    for tag in re.findall(r"<script\b[^>]*>", body):
        # A block of data is no script: no browser runs it.
        assert "src=" in tag or 'type="application/json"' in tag, (name, tag)
    assert not re.search(r'(?:src|href)="(?:https?:)?//', body), name


def test_a_view_cannot_answer_without_them(world: World) -> None:
    from maintenance.web.access.headers import Headers  # noqa: PLC0415

    answer = Headers(lambda _request: HttpResponse("x"))(HttpRequest())
    assert "Permissions-Policy" in answer.headers

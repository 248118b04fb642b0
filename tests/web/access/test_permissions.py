"""The matrix of permissions, driven both ways: allowed works, refused does not.

``permissions.csv`` has a line for each route and method and a column for each role; a
stranger is signed in and belongs to no account, nobody is not signed in.
"""

import csv
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from maintenance.services.people.accept import make_user
from maintenance.services.people.invite import invite
from maintenance.services.people.roles import ROLES
from maintenance.web.access.routes import ROUTES
from tests.web.access.walk import Route, routes, value_of
from tests.web.access.world import PASSWORD, World, signed_in

MATRIX = Path(__file__).with_name("permissions.csv")
COLUMNS = (*ROLES, "stranger", "nobody")
# Told by the page itself, once it was reached: there is nothing to take back, to read
# or to confirm with an empty form or a wrong secret.
ABSENT_AFTER_ALL = {
    ("undo", "POST"),
    ("choose_account", "POST"),
    ("reminder_step", "GET"),
    ("reminder_step", "POST"),
    ("calendar_feed", "GET"),
    ("stop_reminders", "GET"),
    ("stop_reminders", "POST"),
    ("account_confirm_email", "POST"),
    ("mfa_view_recovery_codes", "GET"),
    ("mfa_download_recovery_codes", "GET"),
    ("season_undo", "POST"),
    ("mfa_deactivate_totp", "GET"),
    ("mfa_deactivate_totp", "POST"),
    ("mfa_edit_webauthn", "GET"),
    ("mfa_edit_webauthn", "POST"),
    ("mfa_remove_webauthn", "GET"),
    ("mfa_remove_webauthn", "POST"),
}


def _cells() -> list[tuple[str, str, dict[str, str]]]:
    with MATRIX.open(encoding="utf-8", newline="") as stream:
        return [
            (row.pop("route"), row.pop("method"), row) for row in csv.DictReader(stream)
        ]


CELLS = _cells()


def test_the_matrix_has_every_route_method_and_role() -> None:
    there = {
        (route.name, method)
        for route in routes()
        for method, need in zip(("GET", "POST"), ROUTES[route.name], strict=True)
        if need is not None
    }
    lines = [(name, method) for name, method, _row in CELLS]
    assert sorted(lines) == sorted(there)
    for _name, _method, row in CELLS:
        assert tuple(row) == COLUMNS
        assert set(row.values()) <= {"yes", "no"}


@pytest.fixture
def address(world: World) -> Callable[[str], str]:
    known = {route.name: route for route in routes()}
    secret = invite(
        world.ours.account,
        email="fresh@ours.example",
        role="reader",
        now=datetime.now(tz=UTC),
        actor="ours owner",
    )

    def find(name: str) -> str:
        route: Route = known[name]
        values = {key: value_of(route, key, world.ours)[0] for key in route.names}
        if "secret" in values:
            values["secret"] = secret
        return reverse(name, kwargs=values)

    return find


def _client(who: str) -> Client:
    if who == "nobody":
        return Client()
    if who == "stranger":
        make_user("stranger@ours.example", password=PASSWORD)
    return signed_in(who)


@pytest.mark.parametrize("who", COLUMNS)
def test_each_cell_holds(who: str, address: Any, django_assert: Any) -> None:
    client, wrong = _client(who), []
    for name, method, row in CELLS:
        allowed = row[who] == "yes"
        told = django_assert(client, method, address(name))
        status, where = told
        if allowed:
            fine = status < 400 or status in (409, 422)
            fine = fine or ((name, method) in ABSENT_AFTER_ALL and status == 404)
            fine = fine and not (who == "nobody" and "/account/login/?next=" in where)
        elif who == "nobody" and method == "GET":
            fine = status == 302 and where.startswith("/account/login/?next=")
        else:
            fine = status == 403
        if not fine:
            wrong.append(f"{method} {name}: {status} {where}")
    assert "\n".join(wrong) == ""


@pytest.fixture
def django_assert() -> Callable[[Client, str, str], tuple[int, str]]:
    """Return what asks once and puts the database and the cookies back."""
    import copy  # noqa: PLC0415

    from django.db import transaction  # noqa: PLC0415

    def ask(client: Client, method: str, path: str) -> tuple[int, str]:
        cookies = copy.deepcopy(client.cookies)
        with transaction.atomic():
            answer: Any = client.generic(method, path)
            transaction.set_rollback(True)
        client.cookies = cookies
        if answer.streaming:
            list(answer)  # to its end, where the file is closed
        return answer.status_code, answer.headers.get("Location", "")

    return ask


def test_a_method_that_a_route_has_not_is_refused(world: World, address: Any) -> None:
    client = signed_in("owner")
    for name in [route.name for route in routes()]:
        for method, need in zip(("GET", "POST"), ROUTES[name], strict=True):
            if need is None:
                assert client.generic(method, address(name)).status_code == 405, name
        for method in ("PUT", "PATCH", "DELETE", "OPTIONS"):
            assert client.generic(method, address(name)).status_code == 405, name

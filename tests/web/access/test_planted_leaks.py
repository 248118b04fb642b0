"""The walker is worth its trust: it finds each leak that was planted, and no other."""

from typing import Any

import pytest

from maintenance.web.access.routes import ROUTES
from tests.web.access.leaky_urls import CLEAN, LEAKS
from tests.web.access.walk import routes, walk
from tests.web.access.world import World, signed_in

LEAKY = "tests.web.access.leaky_urls"
PLANTED = {str(entry.name) for entry in LEAKS}
KEPT = {str(entry.name) for entry in CLEAN}


@pytest.fixture
def planted(world: World, settings: Any, monkeypatch: pytest.MonkeyPatch) -> World:
    settings.ROOT_URLCONF = LEAKY
    lines = dict.fromkeys(PLANTED | KEPT, ("see", "see"))
    monkeypatch.setattr("maintenance.web.access.gate.ROUTES", {**ROUTES, **lines})
    return world


def _found(world: World, names: set[str]) -> dict[str, list[str]]:
    over = [route for route in routes(LEAKY) if route.name in names]
    assert {route.name for route in over} == names
    own, foreign = world.ours, world.theirs
    _asked, found = walk(
        signed_in("owner"), over, own=own, foreign=foreign, urlconf=LEAKY
    )
    told: dict[str, list[str]] = {}
    for each in found:
        told.setdefault(each.route, []).append(each.what)
    return told


def test_each_planted_leak_is_found(planted: World) -> None:
    told = _found(planted, PLANTED)
    assert set(told) == PLANTED
    assert any("shows a foreign text" in what for what in told["plain_id"])
    assert any("shows a foreign text" in what for what in told["child"])
    assert any("changed a foreign row" in what for what in told["from_body"])
    assert any("shows a foreign text" in what for what in told["export"])
    # Its status is right: only the database tells.
    assert told["gone_anyway"]
    assert all("changed" in what for what in told["gone_anyway"])


def test_what_leaks_nothing_is_left_alone(planted: World) -> None:
    assert _found(planted, KEPT) == {}


def test_a_route_without_a_line_is_refused_to_everyone(
    world: World, settings: Any
) -> None:
    settings.ROOT_URLCONF = LEAKY
    client = signed_in("owner")
    answer = client.get("/sites/lateral/plain-kept/")
    assert answer.status_code == 403
    assert "no line of the table" in answer.content.decode()
    settings.ACCOUNTS = False
    assert client.get("/sites/lateral/plain-kept/").status_code == 403

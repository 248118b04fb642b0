"""Nobody reaches what belongs to others: every address, every method, every form."""

import pytest
from django.test import Client

from maintenance.web.access.routes import OF_A_SITE, ROUTES
from tests.web.access.walk import CHOICES, routes, value_of, walk
from tests.web.access.world import World, signed_in


def test_every_route_has_its_line() -> None:
    names = [route.name for route in routes()]
    assert len(names) == len(set(names)) > 80
    assert [name for name in names if name not in ROUTES] == []


def test_a_route_of_a_site_stands_among_those_of_sites() -> None:
    below_a_site = {
        route.name for route in routes() if route.of_site and "key" in route.names
    }
    others = {route.name for route in routes()} - below_a_site
    assert below_a_site <= set(OF_A_SITE)
    assert not others & set(OF_A_SITE)


def test_what_an_address_names_is_classified(world: World) -> None:
    for route in routes():
        for name in route.names:
            assert value_of(route, name, world.theirs)[0]
    assert {name for route in routes() for name in route.names} >= set(CHOICES)


@pytest.mark.slow
def test_an_owner_meets_nothing_of_another_account(world: World) -> None:
    client = signed_in("owner")
    asked, found = walk(client, routes(), own=world.ours, foreign=world.theirs)
    assert found == []
    assert asked > 1500


@pytest.mark.slow
def test_a_customer_meets_no_site_but_their_own(world: World) -> None:
    client = signed_in("customer")
    _asked, found = walk(client, routes(), own=world.ours, foreign=world.ours_hidden)
    assert found == []


@pytest.mark.slow
def test_one_who_is_not_signed_in_meets_nothing(world: World) -> None:
    _asked, found = walk(Client(), routes(), own=world.ours, foreign=world.theirs)
    # Whoever looks for something is led to the sign-in; that tells nothing of it.
    assert [each for each in found if "answered 302" not in each.what] == []

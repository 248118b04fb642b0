"""Small sites of the owner: one laid out, one known from a card, nine in a row."""

import pytest

from maintenance.models.sites import Site
from maintenance.services.inventory.store import store_site
from tests.services.inventory.files import SPRING, card_file, read, rich_file

LAID_OUT = "example-lateral"


@pytest.fixture
def site(owner) -> str:
    """Keep a site with one zone, and return its id."""
    store_site(read(rich_file()), account=owner, now=SPRING)
    return LAID_OUT


@pytest.fixture
def card(owner) -> str:
    """Keep a site that is known from one card, and return its id."""
    file = card_file()
    file["card"]["access"] = "Ring first."
    store_site(read(file), account=owner, now=SPRING)
    return str(file["id"])


@pytest.fixture
def sites(owner):
    rows = [
        Site(
            account=owner,
            key=f"s{number}",
            name=f"{number} Quill Lane",
            elevation_m=1900.0,
            time_zone="America/Denver",
            record={},
        )
        for number in range(9)
    ]
    return Site.objects.bulk_create(rows)

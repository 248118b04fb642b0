"""How to get in is told to those who go there, and printed only when asked for."""

from dataclasses import replace
from typing import Any

import pytest
from django.utils import timezone

from maintenance.exchange.demonstration import read_demonstration
from maintenance.services.inventory.store import store_site
from maintenance.services.people.members import change_role, members
from tests.web.access.world import BEGUN, World, signed_in

SECRET = "Key under the third pot"
CODE = "Gate 4711"
ROLES = ("owner", "office", "technician", "tester", "customer")


@pytest.fixture
def card_site(world: World) -> str:
    site = next(s for s in read_demonstration().sites if s.card and s.card.access)
    assert site.card
    account = world.ours.account
    for access in (SECRET, CODE):
        card = replace(site.card, access=access)
        store_site(replace(site, card=card), account=account, now=timezone.now())
    key = next(m.key for m in members(account) if m.role == "customer")
    change_role(
        account, member=key, role="customer", site_keys=[site.id], now=BEGUN, actor=""
    )
    return site.id


def _pages(client: Any, key: str) -> str:
    told = [client.get(f"/sites/{key}/{page}") for page in ("", "file/", "history/")]
    assert [answer.status_code for answer in told] == [200, 200, 200]
    return " ".join(answer.content.decode() for answer in told)


@pytest.mark.parametrize("role", ROLES)
def test_those_who_go_there_are_told(card_site: str, role: str) -> None:
    body = _pages(signed_in(role), card_site)
    assert body.count(CODE) >= 2
    assert SECRET in body  # in the history


def test_a_reader_is_told_nothing_of_it_on_any_page(card_site: str) -> None:
    body = _pages(signed_in("reader"), card_site)
    assert CODE not in body
    assert SECRET not in body


def test_it_is_left_off_prints_unless_asked_for(card_site: str) -> None:
    client = signed_in("technician")
    plain = client.get(f"/sites/{card_site}/").content.decode()
    assert f'<p class="screen-only"><strong>Way in:</strong> {CODE}' in plain
    asked = client.get(f"/sites/{card_site}/?access=1").content.decode()
    assert f"<p><strong>Way in:</strong> {CODE}" in asked
    reader = signed_in("reader").get(f"/sites/{card_site}/?access=1")
    assert CODE not in reader.content.decode()

"""The register and one assembly: facts, events, what if, and nothing overwritten."""

import re

import pytest
from django.test import Client
from django.urls import reverse

from maintenance.models import AssemblyEvent, AssemblyFacts
from maintenance.services.accounts import local_account
from maintenance.services.inventory.store import store_site
from tests.services.backflow.field_tests import SET_UP, SITE, signed, site_file
from tests.services.backflow.register_cases import state
from tests.services.inventory.files import read
from tests.web.assembly_pages import NEVER_SAID, body_of, furnish, here, send
from tests.web.conftest import text_of

TOLD = {
    "place": "washington",
    "own_rule": "every 2 years",
    "region": "us-wa",
    "hazard": "high",
    "protects": "lawn zones 1 to 6",
    "residential": "yes",
    "chemicals": "no",
    "months_used": "5",
    "height": "16 in",
    "kept_from_freezing": "no",
    "version": "0",
}


@pytest.fixture
def shop(office: Client) -> Client:
    furnish()
    return office


def _pages() -> list[str]:
    one = here()
    return [
        "/backflow/",
        "/backflow/register/",
        "/backflow/testers/",
        "/backflow/testers/new/",
        "/backflow/gauges/",
        "/backflow/gauges/new/",
        "/backflow/rules/",
        "/backflow/rules/new/",
        "/backflow/rules/washington-yearly/1/",
        "/backflow/rules/washington-yearly/1/supersede/",
        f"/sites/{SITE}/assemblies/",
        f"/sites/{SITE}/assemblies/B1/",
        one,
        *(f"{one}{name}/" for name in ("facts", "tell", "if-removed", "photos/add")),
    ]


def test_every_page_says_once_who_decides_and_promises_nothing(shop: Client) -> None:
    state(local_account(), place="washington")
    for address in _pages():
        answer = shop.get(address)
        assert answer.status_code == 200, address
        body, text = body_of(answer), text_of(answer)
        assert body.count("<h1") == 1, address
        assert text.count("The local authority decides") == 1, address
        assert not [word for word in NEVER_SAID if word in text.lower()], address
        assert not re.search(r"<style\b|\sstyle=|\son[a-z]+=|javascript:", body), (
            address
        )
        ids = re.findall(r'\sid="([^"]+)"', body)
        assert len(ids) == len(set(ids)), address


def test_facts_are_stated_and_shown(shop: Client) -> None:
    send(shop, f"{here()}facts/", **TOLD)
    text = text_of(shop.get(here()))
    for said in (
        "Washington (state); its own: every 2 years",
        "residential; no chemicals; 5 months a year",
        "lawn zones 1 to 6",
        "1.3 ft",
    ):
        assert said in text
    row = AssemblyFacts.objects.get()
    assert row.version == 1
    assert row.height_m == pytest.approx(0.4064)


def test_storing_what_is_shown_changes_nothing(shop: Client) -> None:
    send(shop, f"{here()}facts/", **TOLD)
    body = body_of(shop.get(f"{here()}facts/"))
    version = re.search(r'name="version" value="(\d+)"', body)
    height = re.search(r'name="height" value="([^"]*)"', body)
    assert version
    assert height
    send(shop, f"{here()}facts/", **TOLD | {"version": version[1], "height": height[1]})
    assert AssemblyFacts.objects.get().version == 1


def test_someone_elses_facts_are_not_overwritten(shop: Client) -> None:
    send(shop, f"{here()}facts/", **TOLD)
    answer = shop.post(f"{here()}facts/", TOLD | {"protects": "all"})
    assert answer.status_code == 409
    assert "Someone else changed" in text_of(answer)
    assert AssemblyFacts.objects.get().protects == "lawn zones 1 to 6"


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("own_rule", "sometimes", "cannot be read"),
        ("region", "Mars", "no region"),
        ("months_used", "thirteen", "no number of months"),
        ("months_used", "13", "a year has 12 months"),
        ("height", "knee-high", "knee-high"),
        ("height", "900 ft", "how far it stands"),
        ("place", "atlantis", "not one of the available"),
        ("protects", "a" * 501, "500"),
    ],
)
def test_a_faulty_answer_is_refused_at_its_question(
    shop: Client, name: str, text: str, said: str
) -> None:
    answer = shop.post(f"{here()}facts/", TOLD | {name: text})
    assert answer.status_code == 422
    assert f'<a href="#id_{name}">' in body_of(answer)
    assert said in text_of(answer)
    assert not AssemblyFacts.objects.exists()


def test_an_event_is_told_taken_back_and_stays_in_sight(shop: Client) -> None:
    told = {"kind": "removed", "on": "2026-10-14", "stored_at": "shed, with Ann"}
    send(shop, f"{here()}tell/", **told)
    send(shop, f"{here()}tell/", **told)
    (event,) = AssemblyEvent.objects.all()
    text = text_of(shop.get(here()))
    assert "taken out 14 Oct 2026 stored: shed, with Ann" in text
    assert "It was put back" in text
    send(shop, f"{here()}told/{event.pk}/take-back/")
    text = text_of(shop.get(here()))
    assert "taken out (taken back)" in text
    assert "in its place" in text


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"kind": "melted", "on": "2026-10-14"}, "none of these"),
        ({"kind": "frozen", "on": "14 October"}, "2026-10-05"),
        ({"kind": "frozen", "on": ""}, "Write the day"),
        ({"kind": "frozen", "on": "2199-01-01"}, "still to come"),
        ({"kind": "", "on": "2026-10-14"}, "Choose what happened"),
    ],
)
def test_what_cannot_have_happened_is_refused(
    shop: Client, told: dict[str, str], said: str
) -> None:
    answer = shop.post(f"{here()}tell/", told)
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert not AssemblyEvent.objects.exists()


def test_a_new_serial_stands_beside_the_one_before(shop: Client) -> None:
    old = here()
    file = site_file()
    file["links"][0] |= {"serial": "OR-999"}
    store_site(read(file), account=local_account(), now=SET_UP)
    text = text_of(shop.get(f"/sites/{SITE}/assemblies/"))
    assert "before it: OR-101" in text
    assert "after it: OR-999" in text
    assert "It no longer stands at its place" in text_of(shop.get(old))
    assert "Serial OR-101 , before" in text_of(
        shop.get(f"/sites/{SITE}/assemblies/B1/")
    )


def test_what_if_it_is_removed_is_answered_and_stores_nothing(shop: Client) -> None:
    account = local_account()
    state(account, place="washington")
    signed(account)
    asked = f"{here()}if-removed/?out=2026-12-01&back=2027-04-01"
    text = text_of(shop.get(asked))
    assert "Taken out on Tue 1 Dec 2026 and put back on Thu 1 Apr 2027" in text
    assert "Removed on 1 Dec 2026: a test is due when it is reinstalled." in text
    assert "Reinstalled on 1 Apr 2027, which asks for a test." in text
    assert not AssemblyEvent.objects.exists()
    answer = shop.get(f"{here()}if-removed/?out=2026-12-01&back=2026-11-01")
    assert answer.status_code == 422
    assert "before it is taken out" in text_of(answer)


@pytest.mark.parametrize("name", ["facts/", "tell/", "if-removed/", "photos/add/", ""])
def test_an_assembly_that_is_not_there_is_not_found(shop: Client, name: str) -> None:
    there = here("B2").replace("/B2/", "/B1/")
    assert shop.get(f"{there}{name}").status_code == 404
    assert shop.get(f"/sites/nowhere/assemblies/B1/1/{name}").status_code == 404


def test_addresses_of_buttons_refuse_looking(shop: Client) -> None:
    assert shop.get(f"{here()}told/1/take-back/").status_code == 405
    assert shop.get(reverse("retire_tester", args=[1])).status_code == 405

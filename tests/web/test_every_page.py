"""What holds on every page of the office."""

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import get_resolver, reverse

from maintenance.engine.site import Site
from maintenance.exchange.site_file import read_site
from maintenance.models import Account
from maintenance.services.inventory.store import store_site
from tests.web.conftest import LATERAL

KEY = "example-lateral"
EMPTY = ("home", "look", "import", "new_site", "compressors", "new_compressor")
OF_A_SITE = ("site", "site_compressor", "history", "edit_place", "water_left")
WRITES = ("INSERT", "UPDATE", "DELETE", "REPLACE")
# Names of the rooms that other modules furnish; each has tests of its own.
ELSEWHERE = {"blowout", "worksheets", "worksheet"}


def _pages() -> list[str]:
    return [
        *(reverse(name) for name in EMPTY),
        *(reverse(name, args=[KEY]) for name in OF_A_SITE),
        reverse("edit_part", args=[KEY, "points", "H2"]),
        reverse("edit_part", args=[KEY, "zones", "1"]),
        reverse("add_part", args=[KEY, "links", "pipe"]),
        reverse("add_part", args=[KEY, "zones", "quick"]),
        reverse("edit_compressor", args=["shop-25"]),
    ]


@pytest.fixture
def furnished(office: Client, lateral: str, machine: str) -> Client:
    assert (lateral, machine) == (KEY, "shop-25")
    return office


@pytest.mark.parametrize("address", _pages())
def test_a_page_has_one_heading_a_title_and_a_language(
    furnished: Client, address: str
) -> None:
    answer = furnished.get(address)
    body = answer.content.decode()
    assert answer.status_code == 200
    assert body.count("<h1") == 1
    title = re.search(r"<title>(.+?)</title>", body)
    assert title
    assert len(title[1].strip(" –")) > len("– Irrigation in winter")
    assert '<html lang="en">' in body
    assert 'href="#content"' in body
    assert 'id="content"' in body


@pytest.mark.parametrize("address", _pages())
def test_a_page_holds_nothing_that_the_policy_forbids(
    furnished: Client, address: str
) -> None:
    answer = furnished.get(address)
    body = answer.content.decode()
    policy = answer.headers["Content-Security-Policy"]
    assert "unsafe" not in policy
    assert not re.search(r"<style\b|\sstyle=|\son[a-z]+=|javascript:", body)
    assert not re.search(r"<script(?![^>]*\bsrc=)", body)
    assert not re.search(r'(?:src|href)="(?:https?:)?//', body)


@pytest.mark.parametrize("address", _pages())
def test_an_id_stands_once_on_a_page(furnished: Client, address: str) -> None:
    ids = re.findall(r'\sid="([^"]+)"', furnished.get(address).content.decode())
    assert sorted(ids) == sorted(set(ids))


@pytest.mark.parametrize("address", [*_pages(), f"/sites/{KEY}/file/"])
def test_looking_changes_nothing(furnished: Client, address: str) -> None:
    with CaptureQueriesContext(
        connection,
    ) as seen:
        furnished.get(address)
    assert not [q["sql"] for q in seen if q["sql"].lstrip().startswith(WRITES)]


@pytest.mark.parametrize("address", [reverse(name) for name in EMPTY])
def test_a_page_of_an_empty_database_says_what_to_do(
    office: Client, address: str
) -> None:
    body = office.get(address).content.decode()
    main = body[body.index("<main") : body.index("</main>")]
    assert re.search(r"<a [^>]*href=|<button", main)


def _written_only() -> list[tuple[str, list[str]]]:
    return [
        ("units", []),
        ("load_demo", []),
        ("remove_demo", []),
        ("retire_site", [KEY]),
        ("restore_site", [KEY]),
        ("undo", [KEY]),
        ("retire_part", [KEY, "points", "H2"]),
        ("lay_out", [KEY, "1"]),
        ("retire_compressor", ["shop-25"]),
        ("restore_compressor", ["shop-25"]),
    ]


@pytest.mark.parametrize(("name", "ids"), _written_only())
def test_what_writes_cannot_be_reached_by_a_link(
    furnished: Client, name: str, ids: list[str]
) -> None:
    assert furnished.get(reverse(name, args=ids)).status_code == 405


def test_what_writes_wants_the_token_of_the_form(furnished: Client) -> None:
    strict = Client(enforce_csrf_checks=True)
    assert strict.post(reverse("retire_site", args=[KEY])).status_code == 403


@pytest.fixture
def of_a_stranger(office: Client, settings: object) -> Site:
    """Store the same lateral for someone else only."""
    from django.utils import timezone  # noqa: PLC0415

    stranger = Account.objects.create(key="stranger", name="A stranger")
    site = read_site(LATERAL.read_text("utf-8"))
    store_site(site, account=stranger, now=timezone.now())
    return site


def _of_one_site() -> list[tuple[str, list[str]]]:
    """Every address that takes a site's id."""
    found: list[tuple[str, list[str]]] = []
    more = {"section": "points", "part": "H2", "kind": "head", "zone": "1"}
    more |= {"list_id": "1", "step": "1", "season": "shutdown"}
    for name, entries in get_resolver().reverse_dict.lists():
        if not isinstance(name, str) or name in ELSEWHERE:
            continue
        possibility = entries[0][0][0]
        pattern, names = possibility
        if pattern.startswith("sites/") and "key" in names:
            found.append(
                (name, [KEY if n == "key" else more.get(n, "1") for n in names])
            )
    return sorted(found)


def test_the_walk_meets_every_address_of_a_site() -> None:
    assert len(_of_one_site()) >= 11


@pytest.mark.parametrize(("name", "ids"), _of_one_site())
def test_a_strangers_site_is_not_there(
    office: Client, of_a_stranger: Site, name: str, ids: list[str]
) -> None:
    address = reverse(name, args=ids)
    told = {
        office.post(address, {"name": "mine now"}).status_code,
        office.get(address).status_code,
    }
    # Each address may be of one method only; whichever it is, nothing is there.
    assert 404 in told
    assert told <= {404, 405}
    assert of_a_stranger.name not in office.get("/").content.decode()


def test_an_address_that_leads_nowhere_is_said_plainly(office: Client) -> None:
    answer = office.get("/nowhere/")
    assert answer.status_code == 404
    assert "There is nothing at this address" in answer.content.decode()


def test_a_fault_of_the_tool_is_said_without_a_traceback(
    office: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_args: object) -> None:
        raise RuntimeError("seam")

    monkeypatch.setattr("maintenance.web.views.home.sites", broken)
    office.raise_request_exception = False
    answer = office.get("/")
    body = answer.content.decode()
    assert answer.status_code == 500
    assert "The tool made a mistake" in body
    assert "seam" not in body


@pytest.mark.parametrize(
    ("address", "most"),
    [
        ("/", 2),
        ("/look/", 0),
        ("/import/", 0),
        ("/sites/new/", 0),
        ("/compressors/", 3),
        (f"/sites/{KEY}/", 9),
        (f"/sites/{KEY}/place/", 7),
        (f"/sites/{KEY}/points/H2/edit/", 7),
        (f"/sites/{KEY}/links/add/pipe/", 7),
        (f"/sites/{KEY}/history/", 8),
        (f"/sites/{KEY}/file/", 6),
    ],
)
def test_a_page_asks_the_database_this_often(
    furnished: Client, address: str, most: int
) -> None:
    # The browser that imported has a session for its messages; a fresh one has none.
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        assert fresh.get(address).status_code == 200
    assert len(seen) == most

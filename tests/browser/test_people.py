"""People in a browser: invited, with a passkey, and every page about them."""

import re
from datetime import UTC, datetime
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from maintenance.models import Account
from maintenance.services.inventory.rows import Act
from maintenance.services.inventory.store import store_site
from maintenance.services.people.accept import add_member, make_user
from maintenance.services.people.hold import hold_people
from maintenance.services.people.invite import invite
from maintenance.services.people.members import members
from tests.browser.test_pages_are_accessible import _faults
from tests.services.inventory.files import example, read

PASSWORD = "seven wet valves in a row"
KEY = {
    "protocol": "ctap2",
    "transport": "internal",
    "hasResidentKey": True,
    "hasUserVerification": True,
    "isUserVerified": True,
    "automaticPresenceSimulation": True,
}


@pytest.fixture
def firm(live_server: Any, settings: Any) -> Account:
    settings.ACCOUNTS = True
    account = Account.objects.create(key="firm", name="The firm", kind="contractor")
    now = datetime.now(tz=UTC)
    file = example("example-lateral") | {"id": "north", "name": "North garden"}
    store_site(read(file), account=account, now=now)
    for name, role in (("Olga Aster", "owner"), ("Cora Lund", "customer")):
        address = f"{name.split()[0].lower()}@firm.example"
        user = make_user(address, password=PASSWORD)
        hold_people(account)
        add_member(account, user, name=name, role=role, act=Act("", now))
    return account


@pytest.fixture
def passkey(page: Page) -> None:
    """Give the browser an authenticator that is touched by itself."""
    session = page.context.new_cdp_session(page)
    session.send("WebAuthn.enable")
    session.send("WebAuthn.addVirtualAuthenticator", {"options": KEY})


def sign_in(page: Page, office: str, who: str) -> None:
    page.goto(f"{office}/account/login/")
    page.get_by_label("E-mail").or_(page.get_by_label("Email")).fill(who)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sites")


@pytest.mark.slow
def test_one_who_is_invited_adds_a_passkey_and_signs_in_with_it(
    firm: Account,
    live_server: Any,
    page: Page,
    passkey: None,
    complaints: list[str],
) -> None:
    office = str(live_server.url)
    assert "//localhost:" in office  # browsers give passkeys to names alone
    secret = invite(
        firm,
        email="ben@firm.example",
        role="technician",
        now=datetime.now(tz=UTC),
        actor="Olga Aster",
    )
    page.goto(f"{office}/invitations/{secret}/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Come to The firm")
    page.get_by_label("Your name").fill("Ben Reed")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Come in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sites")

    page.get_by_role("link", name="Ben Reed, The firm").click()
    page.get_by_role("link", name="Passkeys and codes").click()
    page.get_by_role("link", name="Add a passkey").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Is it you?")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Confirm").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Add a passkey")
    page.get_by_label("Name").fill("My phone")
    page.get_by_role("checkbox").check()
    page.get_by_role("button", name="Add").click()
    expect(page.get_by_role("main")).to_contain_text(re.compile("code|key", re.I))

    page.goto(f"{office}/you/")
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")
    page.get_by_role("button", name="Use a passkey instead").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sites")
    expect(page.get_by_role("link", name="Ben Reed, The firm")).to_be_visible()


def _pages(firm: Account) -> list[str]:
    key = next(line.key for line in members(firm) if line.role == "customer")
    return [
        "/people/",
        "/people/invite/",
        f"/people/member/{key}/",
        f"/people/member/{key}/erase/",
        "/you/",
        "/",
        "/sites/north/",
        "/account/email/",
        "/account/password/change/",
        "/account/logout/",
        "/account/second-step/",
        "/account/second-step/totp/activate/",
        "/account/second-step/webauthn/add/",
    ]


@pytest.mark.slow
def test_no_page_about_people_has_a_barrier_or_scrolls_sideways(
    firm: Account, live_server: Any, page: Page, complaints: list[str]
) -> None:
    office, found = str(live_server.url), []
    secret = invite(
        firm,
        email="ben@firm.example",
        role="reader",
        now=datetime.now(tz=UTC),
        actor="Olga Aster",
    )
    for address in (
        "/account/login/",
        "/account/signup/",
        "/account/password/reset/",
        f"/invitations/{secret}/",
    ):
        page.goto(f"{office}{address}")
        found += [f"{address} {fault}" for fault in _faults(page)]
    sign_in(page, office, "olga@firm.example")
    page.goto(f"{office}/account/reauthenticate/?next=/you/")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Confirm").click()
    for address in _pages(firm):
        page.goto(f"{office}{address}")
        found += [f"{address} {fault}" for fault in _faults(page)]
    page.goto(f"{office}/people/invite/")
    page.get_by_label("E-mail address").fill("new@firm.example")
    page.get_by_label("Role").select_option("customer")
    page.get_by_label("North garden").check()
    page.get_by_role("button", name="Invite").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Invited")
    found += [f"invited {fault}" for fault in _faults(page)]
    assert found == []


@pytest.mark.slow
def test_a_customer_is_offered_nothing_that_would_be_refused(
    firm: Account, live_server: Any, page: Page, complaints: list[str]
) -> None:
    office = str(live_server.url)
    sign_in(page, office, "cora@firm.example")
    expect(page.get_by_role("main")).to_contain_text("no site yet that you may see")
    names = page.get_by_role("navigation").get_by_role("link").all_inner_texts()
    assert names[0] == "Sites"
    assert not {"Season", "Compressors", "Import", "People"} & set(names)


@pytest.mark.slow
def test_one_who_may_not_reads_why(firm: Account, live_server: Any, page: Page) -> None:
    office = str(live_server.url)
    sign_in(page, office, "cora@firm.example")
    page.goto(f"{office}/people/")
    expect(page.get_by_role("heading", level=1)).to_have_text("You may not do this")
    expect(page.get_by_role("main")).to_contain_text("ask an owner of The firm")
    assert _faults(page) == []

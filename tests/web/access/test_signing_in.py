"""Coming in: by invitation alone, and guessing is stopped without locking anyone out."""

import re
from typing import Any

import pytest
from django.core import mail
from django.test import Client

from maintenance.models import Held, Member
from maintenance.services.people.accept import make_user
from maintenance.services.people.members import members, remove_member
from tests.web.access.world import BEGUN, PASSWORD, World, email_of, signed_in

HERE, ELSEWHERE = "192.0.2.1", "198.51.100.7"


def _try(password: str, *, who: str = "reader", ip: str = HERE) -> int:
    form = {"login": email_of(who), "password": password}
    answer: Any = Client(REMOTE_ADDR=ip).post("/account/login/", form)
    return int(answer.status_code)


def test_a_right_password_leads_in_and_a_wrong_one_does_not(world: World) -> None:
    assert _try(PASSWORD) == 302
    assert _try("wrong") == 200


def test_the_fifth_wrong_try_is_told_to_wait_and_elsewhere_one_gets_in(
    world: World,
) -> None:
    assert [_try("wrong") for _turn in range(6)] == [200, 200, 200, 200, 429, 429]
    assert _try(PASSWORD) == 429  # even the right one: it could be the next guess
    assert _try(PASSWORD, ip=ELSEWHERE) == 302
    assert _try(PASSWORD, who="owner") == 302


def test_the_counts_stand_in_the_database_where_all_processes_see_them(
    world: World,
) -> None:
    _try("wrong")
    assert Held.objects.filter(cache_key__contains="login_failed").count() == 3


def test_an_address_that_is_made_up_does_not_help(world: World) -> None:
    form = {"login": email_of("reader"), "password": "wrong"}
    told = [
        Client(REMOTE_ADDR=HERE)
        .post("/account/login/", form, headers={"x-forwarded-for": f"203.0.113.{n}"})
        .status_code
        for n in range(6)
    ]
    assert told[-1] == 429


@pytest.mark.slow
def test_of_very_many_guesses_from_everywhere_few_are_looked_at(
    world: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    looked_at = 0

    def look(*_args: Any, **_named: Any) -> None:
        nonlocal looked_at
        looked_at += 1

    monkeypatch.setattr("allauth.account.adapter.authenticate", look)
    for guess in range(600):  # from 300 places, two each: no place does too much
        _try(f"guess {guess}", ip=f"10.0.{guess % 300 // 250}.{guess % 250}")
    assert looked_at == 80


def test_one_place_cannot_try_one_name_after_the_other(world: World) -> None:
    told = [_try("wrong", who=f"name{n}") for n in range(45)]
    assert told.count(200) <= 40
    assert told[-1] == 429


def test_nobody_makes_a_sign_in_of_their_own(world: World) -> None:
    answer = Client().get("/account/signup/")
    assert "By invitation only" in answer.content.decode()
    form = {"email": "me@new.example", "password1": PASSWORD, "password2": PASSWORD}
    Client().post("/account/signup/", form)
    assert _try(PASSWORD, who="me") == 200
    assert not mail.outbox


def test_a_page_comes_back_after_signing_in_and_never_a_foreign_one(
    world: World,
) -> None:
    client = Client()
    asked = client.get("/sites/lateral/history/?a=1")
    assert asked.headers["Location"] == (
        "/account/login/?next=%2Fsites%2Flateral%2Fhistory%2F%3Fa%3D1"
    )
    form = {"login": email_of("reader"), "password": PASSWORD}
    back = client.post("/account/login/", {**form, "next": "/sites/lateral/"})
    assert back.headers["Location"] == "/sites/lateral/"
    away = Client().post("/account/login/", {**form, "next": "//evil.example/"})
    assert away.headers["Location"] == "/"


def test_what_was_sent_without_a_session_is_refused_in_a_sentence(
    world: World,
) -> None:
    answer = Client().post("/sites/lateral/retire/")
    assert answer.status_code == 403
    assert "You are not signed in" in answer.content.decode()
    swapped = Client().post(
        "/sites/lateral/lists/1/notes/",
        headers={"hx-request": "true", "hx-current-url": "http://testserver/x/?y=1"},
    )
    assert swapped.status_code == 403
    assert swapped.headers["HX-Redirect"] == "/account/login/?next=%2Fx%2F"


def test_a_session_has_a_new_key_at_sign_in_and_ends_with_the_password(
    world: World,
) -> None:
    one, two = signed_in("reader"), signed_in("reader")
    assert one.session.session_key != two.session.session_key
    new = "another eight dry valves"
    form = {"oldpassword": PASSWORD, "password1": new, "password2": new}
    assert two.post("/account/password/change/", form).status_code == 302
    assert one.get("/you/").status_code == 302


def test_one_who_was_removed_sees_nothing_at_the_next_request(world: World) -> None:
    client = signed_in("office")
    assert client.get("/sites/lateral/").status_code == 200
    key = next(m.key for m in members(world.ours.account) if m.role == "office")
    remove_member(world.ours.account, member=key, now=BEGUN, actor="")
    answer = client.get("/sites/lateral/")
    assert answer.status_code == 403
    assert "belong to no account" in answer.content.decode()


def test_an_invitation_is_made_sent_and_accepted_by_pages(world: World) -> None:
    owner = signed_in("owner")
    form = {"email": "Ben@new.example", "role": "technician"}
    shown = owner.post("/people/invite/", form)
    link = re.search(r"http://testserver(/invitations/[\w-]+/)", shown.content.decode())
    assert link
    (letter,) = mail.outbox
    assert link[0] in letter.body
    assert letter.to == ["Ben@new.example"]
    guest = Client()
    assert "Come to Ours" in guest.get(link[1]).content.decode()
    done = guest.post(link[1], {"name": "Ben", "password": PASSWORD}, follow=True)
    assert done.redirect_chain[-1][0] == "/"
    assert "Ben, Ours" in done.content.decode()
    assert guest.get("/people/").status_code == 403
    assert Client().get(link[1]).status_code == 404


def test_an_invitation_brings_back_one_who_must_sign_in_first(world: World) -> None:
    make_user("ben@new.example", password=PASSWORD)
    form = {"email": "ben@new.example", "role": "reader"}
    body = signed_in("owner").post("/people/invite/", form).content.decode()
    link = re.search(r"/invitations/[\w-]+/", body)
    assert link
    guest = Client()
    told = guest.get(link[0]).content.decode()
    assert f"/account/login/?next={link[0].replace('/', '%2F')}" in told
    assert 'name="password"' not in told
    guest.post("/account/login/", {"login": "ben@new.example", "password": PASSWORD})
    assert guest.post(link[0], {"name": "Ben"}).status_code == 302
    assert Member.objects.filter(name="Ben", role="reader").exists()


def test_a_name_on_a_report_is_the_signed_in_persons(world: World) -> None:
    client = signed_in("technician")
    client.cookies["who"] = "Someone else"
    ours = world.ours
    address = f"/sites/lateral/lists/{ours.list_id}/{ours.step}/done/"
    assert client.post(address, {"client_id": "c1"}).status_code == 302
    body = client.get(f"/sites/lateral/lists/{ours.list_id}/whole/").content.decode()
    assert "ours technician" in body
    assert "Someone else" not in body


def test_a_person_changes_the_account_they_work_in(world: World) -> None:
    from maintenance.services.people.owners import make_owner  # noqa: PLC0415

    make_owner(
        world.theirs.account,
        email=email_of("reader"),
        name="Both",
        password="",
        now=BEGUN.replace(year=2027),
    )
    client = signed_in("reader")
    assert "ours lateral" in client.get("/").content.decode()
    assert client.post("/you/account/", {"account": "nowhere"}).status_code == 404
    assert client.post("/you/account/", {"account": "theirs"}).status_code == 302
    body = client.get("/").content.decode()
    assert "Zylophane lateral" in body
    assert "ours lateral" not in body


def test_pages_about_people_are_not_there_where_nobody_signs_in(
    world: World, settings: Any
) -> None:
    settings.ACCOUNTS = False
    for address in ("/people/", "/you/", "/account/login/", "/invitations/x/"):
        assert Client().get(address).status_code == 404

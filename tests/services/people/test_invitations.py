"""An invitation: a secret link, for one address, for a while, once."""

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from django.contrib.auth.models import User
from django.db import connection

from maintenance.models import Grant, Invitation, Member
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.people.accept import accept_as_known, accept_as_new
from maintenance.services.people.invite import (
    HOLDS_FOR,
    find_invitation,
    invite,
    waiting_invitations,
    withdraw_invitation,
)
from tests.services.people.conftest import NOW, PASSWORD, person


def invited(firm, email="ben@firm.example", role="technician", **more):
    return invite(firm, email=email, role=role, now=NOW, actor="Olga", **more)


def test_whoever_has_the_link_becomes_a_member_once(firm, owner):
    secret = invited(firm)
    accept_as_new(secret, name=" Ben  Reed ", password=PASSWORD, now=NOW)
    row = Member.objects.get(name="Ben Reed")
    assert row.user
    assert (row.role, row.user.email) == ("technician", "ben@firm.example")
    assert row.user.check_password(PASSWORD)
    with pytest.raises(NotFoundError, match="does not hold any more"):
        accept_as_new(secret, name="Ben", password=PASSWORD, now=NOW)
    assert waiting_invitations(firm, now=NOW) == []


def test_the_link_itself_is_kept_nowhere(firm, owner):
    secret = invited(firm)
    assert len(secret) >= 43  # 32 random bytes
    row = Invitation.objects.get()
    kept = [str(getattr(row, column.attname)) for column in row._meta.concrete_fields]
    assert secret not in " ".join(kept)


def test_it_ends_after_two_weeks(firm, owner):
    secret = invited(firm)
    last = NOW + HOLDS_FOR - timedelta(seconds=1)
    assert find_invitation(secret, now=last).email == "ben@firm.example"
    with pytest.raises(NotFoundError):
        find_invitation(secret, now=NOW + HOLDS_FOR)


def test_one_taken_back_leads_nowhere(firm, owner):
    secret = invited(firm)
    (line,) = waiting_invitations(firm, now=NOW)
    withdraw_invitation(firm, invitation=line.id, now=NOW, actor="Olga")
    with pytest.raises(NotFoundError):
        accept_as_new(secret, name="Ben", password=PASSWORD, now=NOW)
    with pytest.raises(NotFoundError):
        withdraw_invitation(firm, invitation=line.id, now=NOW, actor="Olga")


def test_a_second_invitation_takes_the_place_of_the_first(firm, owner):
    first, second = invited(firm), invited(firm, email="BEN@firm.example")
    with pytest.raises(NotFoundError):
        find_invitation(first, now=NOW)
    assert find_invitation(second, now=NOW).email == "ben@firm.example"


def test_a_customer_sees_the_sites_named_and_no_other(firm, owner):
    secret = invited(firm, role="customer", site_keys=["north"])
    accept_as_new(secret, name="Cora", password=PASSWORD, now=NOW)
    assert [grant.site.key for grant in Grant.objects.standing()] == ["north"]


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"email": "no address"}, "no e-mail address"),
        ({"role": "king"}, 'no role "king"'),
        ({"role": "office", "site_keys": ["north"]}, "sees every site"),
        ({"role": "customer", "site_keys": ["elsewhere"]}, "is not kept here"),
    ],
)
def test_what_does_not_fit_is_refused_and_nothing_is_kept(firm, owner, given, says):
    with pytest.raises(ServiceError, match=says):
        invited(firm, **given)
    assert not Invitation.objects.exists()


def test_an_account_of_own_sites_has_no_customers(firm, owner):
    firm.kind = "owner"
    with pytest.raises(ServiceError, match="has no customers"):
        invited(firm, role="customer", site_keys=["north"])


def test_a_member_is_not_invited_again(firm, owner):
    with pytest.raises(ConflictError, match="belongs to this account already"):
        invited(firm, email="olga@firm.example")


def test_a_weak_password_is_refused_and_the_link_still_holds(firm, owner):
    secret = invited(firm)
    for weak in ("short", "123456789012", "password1234"):
        with pytest.raises(ServiceError):
            accept_as_new(secret, name="Ben", password=weak, now=NOW)
    assert not User.objects.filter(email="ben@firm.example").exists()
    accept_as_new(secret, name="Ben", password=PASSWORD, now=NOW)


def test_a_name_stands_for_one_person_even_when_they_are_gone(firm, owner):
    with pytest.raises(ConflictError, match="for someone else"):
        accept_as_new(invited(firm), name="olga", password=PASSWORD, now=NOW)


def test_one_who_signs_in_already_signs_in_first(firm, owner):
    other = person(firm, "Ben", "reader")
    Member.objects.filter(user=other).update(removed_at=NOW)
    secret = invited(firm)
    with pytest.raises(ConflictError, match="sign in, then open the link"):
        accept_as_new(secret, name="Ben", password=PASSWORD, now=NOW)
    with pytest.raises(ServiceError, match="no address of yours"):
        accept_as_known(secret, user_id=owner.pk, name="Olga", now=NOW)
    accept_as_known(secret, user_id=other.pk, name="Ben", now=NOW)
    row = Member.objects.get(user=other)
    assert (row.role, row.removed_at) == ("technician", None)


@pytest.mark.django_db(transaction=True)
def test_of_two_who_press_at_once_one_becomes_a_member(firm, owner):
    other = person(firm, "Ben", "reader")
    Member.objects.filter(user=other).update(removed_at=NOW)
    secret = invited(firm)

    def press(_turn: int) -> str:
        try:
            accept_as_known(secret, user_id=other.pk, name="Ben", now=NOW)
        except ServiceError as refusal:
            return str(refusal)
        finally:
            connection.close()
        return "in"

    with ThreadPoolExecutor(4) as pool:
        told = list(pool.map(press, range(4)))
    assert told.count("in") == 1
    assert Member.objects.filter(user=other).count() == 1

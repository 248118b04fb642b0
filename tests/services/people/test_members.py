"""Roles, sites of customers, and that an account never loses its last owner."""

from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connection

from maintenance.models import Member
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.inventory.queries import site, sites
from maintenance.services.people.members import (
    change_account,
    change_role,
    members,
    remove_member,
)
from maintenance.services.people.owners import has_owner, make_owner
from maintenance.services.people.standing import (
    Viewer,
    accounts_of_user,
    viewer_of_user,
)
from tests.services.people.conftest import NOW, PASSWORD, person


def key_of(firm, name):
    return next(line.key for line in members(firm) if line.name == name)


def viewer(user, **chosen) -> Viewer:
    found = viewer_of_user(user.pk, **chosen)
    assert found
    return found


def change(firm, name, role, site_keys=()):
    change_role(
        firm,
        member=key_of(firm, name),
        role=role,
        site_keys=site_keys,
        now=NOW,
        actor="Olga",
    )


def test_the_only_owner_stays_one(firm, owner):
    with pytest.raises(ServiceError, match="only owner"):
        change(firm, "Olga", "reader")
    with pytest.raises(ServiceError, match="only owner"):
        remove_member(firm, member=key_of(firm, "Olga"), now=NOW, actor="")
    person(firm, "Otto", "owner")
    change(firm, "Olga", "reader")
    assert viewer(owner).role == "reader"


@pytest.mark.django_db(transaction=True)
def test_two_owners_who_demote_each_other_leave_one(firm, owner):
    person(firm, "Otto", "owner")
    keys = [key_of(firm, "Olga"), key_of(firm, "Otto")]

    def demote(key: str) -> bool:
        try:
            change_role(firm, member=key, role="reader", now=NOW, actor="")
        except ServiceError:
            return False
        finally:
            connection.close()
        return True

    with ThreadPoolExecutor(2) as pool:
        told = list(pool.map(demote, keys))
    assert sorted(told) == [False, True]
    assert Member.objects.standing().filter(role="owner").count() == 1


def test_a_customer_sees_what_is_granted_from_the_next_request_on(firm, owner):
    user = person(firm, "Cora", "customer")

    def seen():
        found = viewer(user)
        return found.site_keys, [line.key for line in sites(found.account)]

    assert seen() == (frozenset(), [])
    change(firm, "Cora", "customer", ["south"])
    assert seen() == ({"south"}, ["south"])
    with pytest.raises(NotFoundError):
        site(viewer(user).account, key="north")
    change(firm, "Cora", "customer", ["north"])
    assert seen() == ({"north"}, ["north"])
    change(firm, "Cora", "reader")
    assert seen() == (None, ["north", "south"])


def test_one_who_is_removed_has_no_standing(firm, owner):
    user = person(firm, "Ben", "technician")
    remove_member(firm, member=key_of(firm, "Ben"), now=NOW, actor="Olga")
    assert viewer_of_user(user.pk) is None
    assert [line.name for line in members(firm)] == ["Olga"]
    with pytest.raises(NotFoundError):
        remove_member(firm, member="nobody", now=NOW, actor="Olga")


def test_a_person_works_in_the_account_they_chose(firm, owner):
    from maintenance.models import Account  # noqa: PLC0415

    second = Account.objects.create(key="second", name="Another")
    make_owner(second, email="OLGA@firm.example", name="Olga", password="", now=NOW)
    assert [line.key for line in accounts_of_user(owner.pk)] == ["second", "firm"]
    assert viewer(owner).account == firm
    assert viewer(owner, account_key="second").account == second
    assert viewer(owner, account_key="elsewhere").account == firm


def test_customers_keep_an_account_a_contractors(firm, owner):
    person(firm, "Cora", "customer")
    with pytest.raises(ServiceError, match="customers in this account"):
        change_account(firm, name="Firm", kind="owner", now=NOW, actor="")
    change_account(firm, name=" Firm  two", kind="contractor", now=NOW, actor="Olga")
    firm.refresh_from_db()
    assert firm.name == "Firm two"
    assert firm.history.latest("history_id").actor == "Olga"


def test_an_owner_can_be_made_where_there_is_none(firm):
    assert not has_owner()
    with pytest.raises(ServiceError):
        make_owner(firm, email="x", name="Olga", password=PASSWORD, now=NOW)
    assert make_owner(
        firm, email="Olga@firm.example", name="Olga", password=PASSWORD, now=NOW
    )
    assert has_owner()

"""A person is erased: nothing of them is left but what must not change."""

from datetime import timedelta

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.test import Client

from maintenance.models import (
    Account,
    DeliveryTry,
    FeedLink,
    Held,
    Member,
    Message,
    Recipient,
    StepRecord,
    Visit,
)
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.inventory.queries import site_history
from maintenance.services.people.accept import accept_as_new
from maintenance.services.people.erase import ERASED, erase_member, named_on
from maintenance.services.people.invite import invite
from maintenance.services.people.members import former_members, members, remove_member
from maintenance.services.people.owners import make_owner
from maintenance.services.people.tables import name_columns_of, tables_of
from maintenance.services.reminders.feeds import feed_behind, make_link
from maintenance.services.reminders.people import all_people
from maintenance.services.seasons.carry_out import record_steps
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.queries import season_list
from maintenance.services.visits.choose import VisitChoice
from maintenance.services.visits.plan import VisitPlan, plan_visit
from maintenance.services.visits.saved_filters import keep_filter, kept_filters
from tests.services.people.conftest import NOW, PASSWORD
from tests.services.reminders.kept import keep_reminders
from tests.services.seasons.lists import ids, opened, tick

NAME = "Wilhelmina Quist"
EMAIL = "wilhelmina@firm.example"
LATER = NOW + timedelta(days=400)


def everything() -> str:
    """Return every text of every table."""
    return " ".join(
        str(row)
        for model in apps.get_models()
        for row in model._default_manager.values_list()
    )


def at_work(firm) -> str:
    """Let her be invited, open a list, do steps and close it; return her key."""
    secret = invite(firm, email=EMAIL, role="owner", now=NOW, actor="Olga")
    accept_as_new(secret, name=NAME, password=PASSWORD, now=NOW)
    invite(firm, email="next@firm.example", role="reader", now=NOW, actor=NAME)
    list_id = opened(firm)
    first, second, _third = ids(firm, list_id).values()
    for step in (first, second):
        told = [tick(step)]
        record_steps(firm, list_id=list_id, ticks=told, now=LATER, actor=NAME)
    return next(line.key for line in members(firm) if line.name == NAME)


def test_name_and_address_are_gone_and_the_records_whole(firm, owner):
    key = at_work(firm)
    before = list(
        StepRecord.objects.order_by("pk").values_list("pk", "done_at", "outcome")
    )
    assert NAME in everything()
    assert EMAIL in everything()
    assert named_on(firm, member=key).goes >= 3
    erase_member(firm, member=key, now=LATER, actor="Olga")
    left = everything()
    assert NAME not in left
    assert EMAIL not in left
    assert (
        list(StepRecord.objects.order_by("pk").values_list("pk", "done_at", "outcome"))
        == before
    )
    assert set(StepRecord.objects.values_list("who", flat=True)) == {ERASED}
    assert not User.objects.filter(email=EMAIL).exists()
    row = Member.objects.get(key=key)
    assert (row.name, row.user, row.erased_at) == (ERASED, None, LATER)


def test_sessions_and_the_way_in_go_too(firm, owner, settings):
    settings.ACCOUNTS = True
    key = at_work(firm)
    client = Client()
    client.post("/account/login/", {"login": EMAIL, "password": PASSWORD})
    assert client.get("/you/").status_code == 200
    erase_member(firm, member=key, now=LATER, actor="Olga")
    assert client.get("/you/").status_code == 302
    assert not Session.objects.exists()


def test_another_of_the_same_name_elsewhere_is_left_alone(firm, owner):
    key = at_work(firm)
    other = Account.objects.create(key="other", name="Other")
    make_owner(other, email="w@other.example", name=NAME, password=PASSWORD, now=NOW)
    erase_member(firm, member=key, now=LATER, actor="Olga")
    assert Member.objects.get(account=other).name == NAME


def test_a_sign_in_that_another_account_needs_stays(firm, owner):
    key = at_work(firm)
    other = Account.objects.create(key="other", name="Other")
    make_owner(other, email=EMAIL, name=NAME, password="", now=NOW)
    erase_member(firm, member=key, now=LATER, actor="Olga")
    assert User.objects.filter(email=EMAIL).exists()
    assert not Member.objects.for_account(firm).filter(name=NAME).exists()


def test_one_who_went_can_be_erased_and_the_name_is_free_again(firm, owner):
    key = at_work(firm)
    remove_member(firm, member=key, now=LATER, actor="Olga")
    assert [line.name for line in former_members(firm)] == [NAME]
    erase_member(firm, member=key, now=LATER, actor="Olga")
    assert former_members(firm) == []
    with pytest.raises(NotFoundError):
        erase_member(firm, member=key, now=LATER, actor="Olga")
    secret = invite(firm, email=EMAIL, role="reader", now=LATER, actor="Olga")
    accept_as_new(secret, name=NAME, password=PASSWORD, now=LATER)


def test_two_can_be_erased_and_an_owner_may_erase_themselves(firm, owner):
    at_work(firm)
    olga = next(line.key for line in members(firm) if line.name == "Olga")
    erase_member(firm, member=olga, now=LATER, actor="Olga")
    assert "Olga" not in everything()
    (left,) = members(firm)
    with pytest.raises(ServiceError, match="only owner"):
        erase_member(firm, member=left.key, now=LATER, actor=NAME)


def test_the_history_of_a_site_still_tells_what_was_done(firm, owner):
    key = at_work(firm)
    lines = len(site_history(firm, key="north"))
    erase_member(firm, member=key, now=LATER, actor="Olga")
    assert len(site_history(firm, key="north")) == lines


def test_every_table_is_somebodys_and_every_name_is_found(firm, owner):
    found = {table.model for table in tables_of(firm)}
    found |= {t.history.model for t in tables_of(firm) if t.history is not None}
    models = set(apps.get_app_config("maintenance").get_models())
    nobodys = {model.__name__ for model in models - found}
    assert nobodys <= {"Held", "Heartbeat"}
    assert name_columns_of(StepRecord.objects.all()) == ["who", "undone_by"]
    assert name_columns_of(Held.objects.all()) == []


def test_a_closed_list_says_who_closed_it_until_then(firm, owner):
    key = at_work(firm)
    (list_id,) = {
        record.step.list_id for record in StepRecord.objects.select_related("step")
    }
    whole = season_list(firm, list_id=list_id)
    told = [tick(line.id) for line in whole.steps_left]
    record_steps(firm, list_id=list_id, ticks=told, now=LATER, actor=NAME)
    from tests.services.seasons.lists import end_zone  # noqa: PLC0415

    for line in season_list(firm, list_id=list_id).zones_left:
        end_zone(firm, list_id, line.zone)
    close_season_list(firm, list_id=list_id, now=LATER, actor=NAME)
    erase_member(firm, member=key, now=LATER, actor="Olga")
    assert season_list(firm, list_id=list_id).head.closed_by == ERASED


def test_reminders_visits_and_choices_forget_them_too(firm, owner):
    key = at_work(firm)
    kept = keep_reminders(firm, "north", "Reader")
    Recipient.objects.filter(pk=kept["person"]).update(name=NAME, email=EMAIL.title())
    Recipient.history.filter(id=kept["person"]).update(name=NAME, email=EMAIL)
    link, secret = make_link(
        firm, name=f"Of {NAME}", person_id=kept["person"], now=NOW, actor="Olga"
    )
    DeliveryTry.objects.create(
        message_id=kept["message"], at=NOW, ended="refused", error=f"550 <{EMAIL}>"
    )
    Message.objects.filter(pk=kept["message"]).update(why=f"550 <{EMAIL}>")
    plan = VisitPlan(kind="repair", worker=NAME)
    visit = plan_visit(firm, site_key="north", plan=plan, now=NOW, actor="Olga")
    hers = VisitChoice(kind="repair", worker=NAME)
    for name, choice in (("Hers", hers), ("All repairs", VisitChoice(kind="repair"))):
        keep_filter(firm, name=name, choice=choice, now=NOW, actor="Olga")
    assert NAME.replace(" ", "+") in everything()
    erase_member(firm, member=key, now=LATER, actor="Olga")
    left = everything()
    for trace in (NAME, NAME.replace(" ", "+"), EMAIL, EMAIL.title()):
        assert trace not in left
    assert Visit.objects.get(pk=visit).worker == ERASED
    assert [kept.name for kept in kept_filters(firm)] == ["All repairs"]
    assert all_people(firm) == []
    with pytest.raises(NotFoundError):
        feed_behind(secret, now=LATER)
    assert FeedLink.objects.get(pk=link.pk).name == ERASED

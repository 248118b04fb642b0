"""Two accounts that know nothing of each other, and the people who belong to them."""

import json
from dataclasses import dataclass
from datetime import UTC, datetime

from allauth.mfa.models import Authenticator
from django.contrib.auth.models import User
from django.test import Client

from irrigation_site.celery import make_queue
from maintenance.engine.climate.series import Station
from maintenance.exchange.weather.record_file import read_record
from maintenance.models import Account
from maintenance.services.inventory.rows import Act
from maintenance.services.inventory.store import store_compressor, store_site
from maintenance.services.jobs.ask import ask_for_job
from maintenance.services.jobs.heartbeats import BEAT, give_sign
from maintenance.services.people.accept import add_member, make_user
from maintenance.services.people.invite import invite, waiting_invitations
from maintenance.services.people.members import change_role, members
from maintenance.services.people.roles import ROLES
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.queries import season_list
from maintenance.services.weather.stations import keep_station
from tests.exchange.weather.weather_files import plain_csv, some_days
from tests.services.backflow.field_tests import keep_tests
from tests.services.backflow.register_cases import keep_assembly, keep_rule
from tests.services.inventory.files import example, read, read_machine
from tests.services.jobs.report_packs import make_pack
from tests.services.reminders.kept import keep_reminders
from tests.services.seasons.lists import MORNING, compiled
from tests.services.visits.kept import keep_visits

THEIRS = ("Zylophane", "quagmire")
"""The first stands in every text of their account, the second in every id of it."""
HIDDEN = ("Ypsophane", "bogland")
"""Likewise for the site of ours that the customer may not see."""
PASSWORD = "seven wet valves in a row"
BEGUN = datetime(2026, 3, 1, tzinfo=UTC)
BEFORE = datetime(2026, 2, 28, tzinfo=UTC)
"""Packs are asked for first: the jobs that wait are left to wait."""


@dataclass(frozen=True)
class Things:
    """What can be named in an address or in a form, of one account or one site."""

    account: Account
    marks: tuple[str, str]
    site: str
    zone: str
    part: str
    compressor: str
    station: str
    list_id: int
    step: int
    link: str
    draft_id: int
    record_id: int
    filed_id: int
    tester: int
    gauge: int
    device_id: int
    event_id: int
    photo_id: int
    rule_id: str
    visit_id: int
    call_id: int
    finding_id: int
    picture_id: int
    filter_id: int
    job_id: int
    pack_id: int
    obligation: int
    message: int
    person: int
    webhook: int
    calendar: int
    member: str
    invitation: int
    passkey: int


@dataclass(frozen=True)
class World:
    """Ours, a second site of ours that the customer may not see, and theirs."""

    ours: Things
    ours_hidden: Things
    theirs: Things


def email_of(role: str, *, word: str = "ours") -> str:
    return f"{role}@{word.lower()}.example"


def build() -> World:
    """Fill the database, and give the signs of life that a monitor looks for."""
    make_queue()
    give_sign(BEAT)
    account = Account.objects.create(key="ours", name="Ours", kind="contractor")
    theirs = Account.objects.create(key="theirs", name=THEIRS[0], kind="contractor")
    for role in ROLES:
        join(account, role, "ours")
        join(theirs, role, THEIRS[0])
    first = fill(account, "lateral", ("ours", ""))
    hidden = fill(account, f"{HIDDEN[1]}-site", HIDDEN, new=False)
    customer = next(line for line in members(account) if line.role == "customer")
    change_role(
        account,
        member=customer.key,
        role="customer",
        site_keys=["lateral"],
        now=BEGUN,
        actor="",
    )
    return World(first, hidden, fill(theirs, f"{THEIRS[1]}-site", THEIRS))


def join(account: Account, role: str, word: str) -> None:
    user = make_user(email_of(role, word=word), password=PASSWORD)
    name = f"{word} {role}"
    add_member(account, user, name=name, role=role, act=Act("", BEGUN))


def fill(
    account: Account, site: str, marks: tuple[str, str], *, new: bool = True
) -> Things:
    """Keep a site with a list, and a compressor and an invitation of the account."""
    word, ids = marks
    zone, part = (f"{ids}-1", f"{ids}-H2") if ids else ("1", "H2")
    machine_id = f"{ids}-machine" if ids and new else "machine"
    station_id = f"{ids}-station" if ids and new else "station"
    link = f"{ids}-B1" if ids else "B1"
    store_site(read(_file(site, word, zone, part, link)), account=account, now=BEGUN)
    machine = example("compressor-25") | {"id": machine_id, "label": f"{word} plate"}
    if new:
        store_compressor(read_machine(machine), account=account, now=BEGUN)
        keep_station(
            read_record(plain_csv(some_days(30))),
            account=account,
            station=Station(station_id, name=f"{word} station"),
            file_name=f"{word}.csv",
            now=BEGUN,
            actor="",
        )
        invite(
            account,
            email=f"new@{word.lower()}.example",
            role="reader",
            now=datetime.now(tz=UTC),
            actor=f"{word} owner",
        )
    list_id = open_season_list(
        account,
        site_key=site,
        compiled=compiled(account, site_key=site),
        year=2026,
        now=MORNING,
        actor=f"{word} owner",
    )
    (waiting,) = waiting_invitations(account, now=datetime.now(tz=UTC))
    reader = next(line for line in members(account) if line.role == "reader")
    # Of one who does not walk: with a passkey the password alone lets nobody in.
    address = email_of("keeper", word=account.name)
    keeper = User.objects.filter(email=address).first()
    key, _ = Authenticator.objects.get_or_create(
        user=keeper or make_user(address, password=PASSWORD),
        type=Authenticator.Type.WEBAUTHN,
        data={"name": f"{word} key"},
    )
    return Things(
        account=account,
        marks=marks,
        site=site,
        zone=zone,
        part=part,
        compressor=machine_id,
        station=station_id,
        list_id=list_id,
        step=season_list(account, list_id=list_id).all_steps[0].id,
        link=link,
        **keep_tests(account, site, link, word),
        **keep_assembly(account, site, link, word),
        rule_id=keep_rule(account, f"{ids or 'our'} rule", word, new=new),
        **keep_visits(account, site, word),
        **keep_reminders(account, site, word),
        pack_id=make_pack(account, now=BEFORE).pk,
        job_id=ask_for_job(
            account,
            kind="refresh_outlooks" if new else "build_lists",
            asked={"mark": word},
            now=BEGUN,
            actor=f"{word} owner",
        ),
        member=reader.key,
        invitation=waiting.id,
        passkey=key.pk,
    )


def _file(site: str, word: str, zone: str, part: str, link: str) -> dict[str, object]:
    file = example("example-lateral")
    text = json.dumps(file).replace('"H2"', json.dumps(part))
    text = text.replace('"B1"', json.dumps(link))
    text = text.replace('"zone": "1"', f'"zone": {json.dumps(zone)}')
    renamed: dict[str, object] = json.loads(text)
    for each in renamed["zones"]:  # type: ignore[attr-defined]
        if each["id"] == "1":
            each["id"] = zone
    return renamed | {"id": site, "name": f"{word} lateral", "notes": [f"{word} note"]}


def signed_in(role: str, *, strict: bool = False) -> Client:
    """Sign in by the form, as a person does."""
    client = Client(enforce_csrf_checks=False)
    form = {"login": email_of(role), "password": PASSWORD}
    answer = client.post("/account/login/", form)
    assert answer.status_code == 302, answer.content.decode()
    # What changes the ways to sign in wants to know once more.
    client.post("/account/reauthenticate/", {"password": PASSWORD})
    assert client.get("/you/").status_code == 200
    client.handler.enforce_csrf_checks = strict
    return client

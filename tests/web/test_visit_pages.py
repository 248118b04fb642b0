"""The pages of visits as a browser without scripts meets them."""

import re
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from maintenance.models import Finding, ServiceCall, SiteSeason, Visit, VisitPhoto
from maintenance.models.sites import Site
from maintenance.services.accounts import local_account
from tests.services.visits.kept import TODAY, ended, picture, planned
from tests.web.conftest import text_of

SITE = "example-lateral"


@pytest.fixture(autouse=True)
def photos_elsewhere(settings: Any, tmp_path: Any) -> None:
    settings.DATA_DIR = tmp_path


def version_at(office: Client, address: str) -> str:
    found = re.search(
        r'name="version" value="(\d+)"', office.get(address).content.decode()
    )
    assert found, address
    return found[1]


def press(office: Client, visit: int, deed: str, **typed: str) -> Any:
    version = version_at(office, f"/visits/{visit}/")
    return office.post(f"/visits/{visit}/{deed}/", {"version": version, **typed})


def test_from_the_call_to_the_closed_finding_without_a_script(
    office: Client, lateral: str
) -> None:
    office.cookies["who"] = "Ann"
    answer = office.post(
        "/visits/calls/new/",
        {"site": SITE, "what": "Head 2 sprays the path", "urgency": "today"},
    )
    call = ServiceCall.objects.get()
    assert answer["Location"] == f"/visits/calls/{call.pk}/"
    plan = {"kind": "repair", "planned_on": "2026-10-14", "worker": "Ann"}
    answer = office.post(f"/visits/new/?call={call.pk}", plan)
    visit = Visit.objects.get()
    assert answer["Location"] == f"/visits/{visit.pk}/"
    assert press(office, visit.pk, "start").status_code == 302
    office.post(f"/visits/{visit.pk}/found/", {"what": "Valve weeps", "about": "V1"})
    report = {"notes": "wet", "parts_used": "1 head", "readings": "static: 48 psi"}
    assert press(office, visit.pk, "report", **report).status_code == 302
    assert press(office, visit.pk, "end", outcome="done").status_code == 302
    call.refresh_from_db()
    assert call.closed_as == "Its visits ended: done."
    finding = Finding.objects.get()
    page = f"/visits/findings/{finding.pk}/"
    told = {"version": version_at(office, page), **plan, "worker": "Ben"}
    answer = office.post(f"{page}follow-up/", told)
    assert answer["Location"] == f"/visits/{Visit.objects.latest('pk').pk}/"
    refused = office.post(f"{page}close/", {"version": "2", "word": " "})
    assert (refused.status_code, "closed with a word" in text_of(refused)) == (
        422,
        True,
    )
    office.post(f"{page}close/", {"version": "2", "word": "New seal"})
    finding.refresh_from_db()
    assert (finding.closed_as, finding.closed_by) == ("New seal", "Ann")


def test_what_was_typed_stands_on_the_page_of_a_conflict(
    office: Client, lateral: str
) -> None:
    visit = planned(local_account(), SITE)
    old = version_at(office, f"/visits/{visit}/")
    press(office, visit, "start")
    answer = office.post(
        f"/visits/{visit}/report/", {"version": old, "notes": "mine, typed in vain"}
    )
    assert answer.status_code == 409
    assert "mine, typed in vain" in text_of(answer)
    assert Visit.objects.get().notes == ""
    answer = office.post(f"/visits/{visit}/end/", {"outcome": "done"})
    assert answer.status_code == 409  # a form without its version
    assert Visit.objects.get().state == "under_way"


def test_begin_pressed_twice_begins_once(office: Client, lateral: str) -> None:
    visit = planned(local_account(), SITE)
    sent = {"version": version_at(office, f"/visits/{visit}/")}
    for _ in range(2):
        assert office.post(f"/visits/{visit}/start/", sent).status_code == 302
    assert Visit.objects.get().version == 2


def test_a_shutdown_opens_its_list_and_names_the_zones_that_keep_it_open(
    office: Client, lateral: str, machine: str
) -> None:
    visit = planned(local_account(), SITE, kind="shutdown", season_year=2026)
    press(office, visit, "start")
    answer = press(office, visit, "list")
    assert answer["Location"].startswith(f"/sites/{SITE}/lists/")
    refused = press(office, visit, "end", outcome="done", note="kept as typed")
    assert refused.status_code == 422
    text = text_of(refused)
    assert "cannot end as done: zone 1" in text
    assert "has no outcome" in text
    assert "kept as typed" in refused.content.decode()
    assert "Zones that keep this visit open: 1" in text


def test_a_photo_is_kept_shown_and_taken_out(office: Client, lateral: str) -> None:
    visit = planned(local_account(), SITE)
    sent = {"photo": picture(), "caption": "Box 2"}
    office.post(f"/visits/{visit}/photos/", sent)
    photo = VisitPhoto.objects.get().pk
    answer = office.get(f"/visits/{visit}/photos/{photo}/")
    assert answer["Content-Type"] == "image/jpeg"
    assert answer["Content-Security-Policy"] == "sandbox; default-src 'none'"
    assert office.post(f"/visits/{visit}/photos/").status_code == 422
    office.post(f"/visits/{visit}/photos/{photo}/remove/")
    assert office.get(f"/visits/{visit}/photos/{photo}/").status_code == 404


def test_a_choice_is_kept_shown_and_forgotten_and_the_file_follows_it(
    office: Client, lateral: str
) -> None:
    account = local_account()
    planned(account, SITE, worker="Ann")
    planned(account, SITE, worker="Ben")
    body = office.get("/visits/?worker=Ben").content.decode()
    assert (body.count('data-head="Who goes">Ben'), "Keep it" in body) == (1, True)
    office.post("/visits/filters/", {"name": "Ben's", "worker": "Ben"})
    text = text_of(office.get("/visits/?worker=Ben"))
    assert "Kept choices: Ben's" in text
    assert "Forget the choice “Ben's”" in text
    again = office.post("/visits/filters/", {"name": "Ben's", "worker": "Ann"})
    assert again.status_code == 409
    file = office.get("/visits/export.csv?worker=Ben")
    assert file.content.decode().count("\r\n") == 2
    (forget,) = re.findall(
        r"/visits/filters/\d+/forget/",
        office.get("/visits/?worker=Ben").content.decode(),
    )
    office.post(forget)
    assert "Kept choices" not in text_of(office.get("/visits/"))


def test_a_choice_offers_who_goes_and_where_sites_lie_together(
    office: Client, lateral: str
) -> None:
    account = local_account()
    planned(account, SITE, worker="Ann & Ben")
    for key in ("a", "b"):
        Site.objects.create(
            account=account, key=key, name=f"{key}, Reed", elevation_m=0.0, record={}
        )
    body = office.get("/visits/").content.decode()
    assert '<datalist id="workers"><option value="Ann &amp; Ben">' in body
    assert '<datalist id="areas"><option value="Reed">' in body
    for name in ("worker", "area"):
        assert re.search(rf'<input [^>]*name="{name}" list="{name}s"', body)


def test_the_roll_over_states_a_page_of_sites_at_once(
    office: Client, lateral: str
) -> None:
    account = local_account()
    ended(account, SITE, "partly", "zone 2 stuck", kind="shutdown", season_year=2026)
    address = "/visits/roll-over/?season=shutdown&year=2027"
    assert "zone 2 stuck" in text_of(office.get(address))
    row = {"site-0": SITE, "version-0": "0", "note-0": ""}
    refused = office.post(address, {**row, "standing-0": "changed"})
    assert (refused.status_code, "what has changed" in text_of(refused)) == (422, True)
    stated = office.post(address, {**row, "rest": "same", "plan": "1"})
    assert stated.status_code == 302
    assert SiteSeason.objects.get().standing == "same"
    assert Visit.objects.filter(season_year=2027, planned_on=None).count() == 1
    assert office.post(address, {**row, "standing-0": "sold"}).status_code == 409


def test_one_is_told_as_one(office: Client, lateral: str) -> None:
    planned(local_account(), SITE)
    assert "1 visit planned here." in text_of(office.get("/visits/"))
    day = text_of(office.get(f"/visits/day/?on={TODAY}&worker=Ann"))
    assert "1 visit Ann," in day
    planned(local_account(), SITE, kind="other")
    assert "2 visits planned here." in text_of(office.get("/visits/"))
    day = text_of(office.get(f"/visits/day/?on={TODAY}&worker=Ann"))
    assert "2 visits, in the order of their windows" in day
    told = text_of(office.post("/visits/air/", follow=True))
    assert "Worked out for 1 site. None is left." in told


def test_a_finding_whose_day_is_over_is_overdue_on_its_visit(
    office: Client, lateral: str
) -> None:
    visit = ended(local_account(), SITE, "done", "Blown.", kind="repair")
    address = f"/visits/{visit}/found/"
    for day in ("2020-01-02", "2035-01-02"):
        office.post(address, {"what": f"Leak {day}", "due_on": day})
    text = text_of(office.get(f"/visits/{visit}/"))
    assert "overdue Leak 2020-01-02" in text
    assert "due Leak 2035-01-02" in text
    assert "overdue Leak 2035" not in text


def test_the_day_sheet_tells_how_to_get_in_only_if_asked(
    office: Client, lateral: str
) -> None:
    planned(local_account(), SITE, notes="gate code 4711")
    address = f"/visits/day/?on={TODAY}&worker=Ann"
    assert "4711" not in office.get(address).content.decode()
    asked = text_of(office.get(f"{address}&access=1"))
    assert "gate code 4711" in asked
    assert "keep this paper to yourself" in asked
    assert "never with all outlets shut" in asked
    bare = office.get("/visits/day/?on=2026-10-15&worker=Ann&access=1")
    assert "No visit is planned for Ann on that day." in text_of(bare)
    planned(local_account(), SITE, worker="Ben")
    told = text_of(office.get(f"/visits/day/?on={TODAY}&worker=Ben&access=1"))
    assert "Nothing is recorded of access, callers or earlier visits." in told


@pytest.mark.parametrize(
    "address",
    [
        "/visits/?frost=x&after=1.1&state=%00",
        "/visits/board/?season=shutdown&year=2026&page=99",
        "/visits/roll-over/?season=shutdown&year=2027&after=zzz",
    ],
)
def test_an_odd_address_is_answered(office: Client, lateral: str, address: str) -> None:
    assert office.get(address).status_code == 200


@pytest.mark.parametrize(
    "address",
    [
        "/visits/board/?season=party",
        "/visits/board/?year=26",
        "/visits/day/?on=tomorrow",
        "/visits/new/?call=x",
    ],
)
def test_an_address_that_cannot_be_meant_is_refused_in_a_sentence(
    office: Client, address: str
) -> None:
    assert office.get(address).status_code == 422


QUERIES = {
    "/visits/": 6,
    "/visits/?worker=Ann&area=lateral&frost=1&air=small": 6,
    "/visits/export.csv": 4,
    "/visits/calls/": 3,
    "/visits/findings/": 2,
    "/visits/board/?season=shutdown&year=2026": 7,
    "/visits/roll-over/?season=shutdown&year=2026": 7,
    f"/visits/day/?on={TODAY}&worker=Ann": 5,
    "/visits/new/": 3,
    "/visits/calls/new/": 2,
    "/visits/1/": 8,
    "/visits/1/plan/": 9,
    f"/sites/{SITE}/story/": 8,
}


@pytest.mark.parametrize(("address", "most"), QUERIES.items())
def test_a_page_asks_the_database_this_often_and_writes_nothing(
    office: Client, lateral: str, address: str, most: int
) -> None:
    """One of these is for the account: the sign-in of the machine's own person."""
    account = local_account()
    for number in range(12):
        planned(account, SITE, worker=f"w{number}")
        ended(account, SITE, "refused", "x", worker=f"e{number}")
    address = address.replace(
        "/visits/1/", f"/visits/{Visit.objects.earliest('pk').pk}/"
    )
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        assert fresh.get(address).status_code == 200
    assert len(seen) <= most, [q["sql"][:120] for q in seen]
    assert not [q for q in seen if not q["sql"].startswith("SELECT")]

"""Pages of what runs in the background, and the sentence where it is silent."""

import json
from datetime import time, timedelta

import pytest
from django.conf import settings as configured
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from irrigation_site.celery import make_queue
from maintenance.jobs import tasks
from maintenance.models import Heartbeat, Job, Recipient, SeasonList
from maintenance.services.accounts import local_account
from maintenance.web.access import silence
from tests.services.jobs.many_sites import keep_sites
from tests.web.conftest import text_of

LISTS = {"season": "shutdown", "year": "2026", "compressor": ""}


@pytest.fixture
def at_work(office, settings):
    """Have a worker's signs of life, and a page that asks for them each time."""
    settings.SILENCE_LOOKED_FOR_EVERY_S = 0
    silence._asked.clear()
    make_queue()
    tasks.minute()
    tasks.send_reminders()
    return office


def test_where_all_runs_a_monitor_is_told_so_in_five_queries(at_work):
    with CaptureQueriesContext(connection) as seen:
        answer = Client().get("/healthz")
    told = json.loads(answer.content)
    assert (answer.status_code, told["well"]) == (200, True), told
    assert set(told) == {
        *("well", "database", "migrations", "broker", "beat", "reminders", "disk"),
    }
    assert len(seen) <= 5
    body = answer.content.decode()
    assert str(configured.DATA_DIR) not in body
    assert configured.SECRET_KEY not in body


def test_a_monitor_is_told_when_the_background_work_gives_no_sign(at_work):
    Heartbeat.objects.filter(name="beat").update(at=timezone.now() - timedelta(hours=3))
    answer = Client().get("/healthz")
    told = json.loads(answer.content)
    assert (answer.status_code, told["well"], told["beat"]["well"]) == (
        503,
        False,
        False,
    )
    assert "3 hours ago" in told["beat"]["said"]
    page = text_of(at_work.get("/health/"))
    assert "Something needs you" in page


def test_a_fresh_place_is_not_well_before_a_worker_ran(office):
    assert Client().get("/healthz").status_code == 503
    assert "never run" in text_of(office.get("/health/"))


def test_a_missing_change_of_the_tables_is_told(at_work, monkeypatch):
    from maintenance.services import health  # noqa: PLC0415

    known = health._known_migrations() | {("maintenance", "9999_of_tomorrow")}
    monkeypatch.setattr(health, "_known_migrations", lambda: known)
    told = json.loads(Client().get("/healthz").content)
    assert not told["migrations"]["well"]


def test_a_disk_that_is_nearly_full_is_told(at_work, monkeypatch):
    from maintenance.services import health  # noqa: PLC0415

    monkeypatch.setattr(health, "LEAST_FREE", 10**18)
    told = json.loads(Client().get("/healthz").content)
    assert (told["disk"]["well"], told["well"]) == (False, False)


def test_silence_stands_on_every_page_where_someone_is_to_be_reminded(at_work):
    assert "silent" not in text_of(at_work.get("/compressors/"))
    Recipient.objects.create(
        account=local_account(), name="Ada", email="ada@example.org", morning=time(8)
    )
    tasks.send_reminders()
    assert "silent" not in text_of(at_work.get("/compressors/"))
    Heartbeat.objects.update(at=timezone.now() - timedelta(hours=2))
    for address in ("/", "/compressors/", "/worksheets/"):
        assert "Reminders are silent. Nothing has looked" in text_of(
            at_work.get(address)
        )


def test_it_costs_one_query_and_only_now_and_then(at_work, settings):
    settings.SILENCE_LOOKED_FOR_EVERY_S = None
    with CaptureQueriesContext(connection) as without:
        Client().get("/compressors/")
    settings.SILENCE_LOOKED_FOR_EVERY_S = 3600
    silence._asked.clear()
    with CaptureQueriesContext(connection) as first:
        Client().get("/compressors/")
    with CaptureQueriesContext(connection) as second:
        Client().get("/compressors/")
    assert (len(first), len(second)) == (len(without) + 1, len(without))


def test_a_job_is_asked_for_done_and_told(office):
    keep_sites(local_account(), 2)
    answer = office.post("/jobs/lists/", LISTS, follow=True)
    page = text_of(answer)
    assert "waits for its turn" in page
    assert "0 of 2" in page
    assert 'hx-trigger="every 3s"' in answer.content.decode()
    tasks.work()
    assert SeasonList.objects.count() == 2
    answer = office.get("/jobs/")
    assert "2 made" in text_of(answer)
    assert "every 3s" not in answer.content.decode()


def test_a_job_is_called_off(office):
    keep_sites(local_account(), 2)
    office.post("/jobs/outlooks/")
    job = Job.objects.get()
    assert "called off" in text_of(office.post(f"/jobs/{job.pk}/cancel/", follow=True))
    assert office.post(f"/jobs/{job.pk}/cancel/").status_code == 409
    assert office.post("/jobs/999999/cancel/").status_code == 404


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"season": "summer"}, "Choose a season"),
        ({"year": "MMXX"}, "no year of a season"),
        ({"year": "٢٠٢٦"}, "no year of a season"),
        ({"compressor": "none-such"}, "Choose a compressor of the list"),
    ],
)
def test_what_cannot_be_asked_for_is_refused_in_a_sentence(office, changed, said):
    keep_sites(local_account(), 1)
    answer = office.post("/jobs/lists/", LISTS | changed)
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert not Job.objects.exists()


def test_looking_at_jobs_takes_a_few_queries_whatever_their_number(office):
    account = local_account()
    keep_sites(account, 1)
    office.post("/jobs/outlooks/")
    row = Job.objects.get()
    for _copy in range(20):
        row.pk = None
        row.save()
    fresh = Client()
    with CaptureQueriesContext(connection) as seen:
        assert fresh.get("/jobs/").status_code == 200
    assert len(seen) <= 5

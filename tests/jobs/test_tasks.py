"""The tasks do what the rows say, by whichever worker and however often."""

import pytest
from celery.signals import worker_ready

from irrigation_site.celery import app
from maintenance.jobs import tasks
from maintenance.models import Heartbeat, SeasonList, SiteAirNeed
from maintenance.services.jobs.queries import jobs
from tests.services.jobs.many_sites import asked_for, keep_sites


@pytest.fixture
def nudged(monkeypatch):
    names: list[str] = []
    monkeypatch.setattr(tasks, "nudge", names.append)
    return names


def test_the_minute_gives_a_sign_asks_by_the_hour_and_nudges_for_what_waits(
    local, nudged
):
    keep_sites(local, 1)
    asked_for(local)
    tasks.minute()
    assert set(Heartbeat.objects.values_list("name", flat=True)) >= {"beat", "hourly"}
    assert nudged == ["jobs.work", "jobs.work"]  # lists and outlooks


def test_the_minute_works_out_what_air_a_few_sites_need(local, nudged):
    keep_sites(local, 2)
    tasks.minute()
    assert SiteAirNeed.objects.count() == 2


def test_work_goes_on_until_nothing_waits(local, nudged):
    keep_sites(local, 2)
    asked_for(local)
    tasks.work()
    assert SeasonList.objects.count() == 2
    assert jobs(local)[0].state == "done"
    assert nudged == []


def test_after_its_time_it_lets_others_have_their_turn(local, nudged, monkeypatch):
    keep_sites(local, 2)
    asked_for(local)
    monkeypatch.setattr(tasks, "AT_ONE_GO_S", 0.0)
    tasks.work()
    assert nudged == ["jobs.work"]
    assert jobs(local)[0].unfinished


def test_a_worker_does_at_its_start_what_the_schedule_does_in_a_minute(monkeypatch):
    sent: list[str] = []
    monkeypatch.setattr(app, "send_task", lambda name, **_more: sent.append(name))
    worker_ready.send(sender=None)
    assert sent == ["jobs.minute", "reminders.send"]

"""What the two kinds of job do at a site."""

from datetime import timedelta

import pytest

from maintenance.models import SeasonList, SiteOutlook
from maintenance.services.jobs.ask import ask_for_job
from maintenance.services.jobs.build_lists import prepare_list
from maintenance.services.jobs.heartbeats import ages, give_sign, take_turn
from maintenance.services.jobs.hourly import ask_by_the_hour
from maintenance.services.jobs.queries import jobs
from maintenance.services.jobs.refresh import refresher
from maintenance.services.jobs.values import SCHEDULE
from maintenance.services.jobs.work import work_on_next
from tests.services.jobs.many_sites import CHOICES, LEASE, NOW, asked_for, keep_sites

DOERS = {
    "build_lists": prepare_list,
    "refresh_outlooks": refresher(ask=None, jitter=0.5),
}


def work_all():
    while work_on_next(DOERS, lease=LEASE, now=NOW):
        pass


def test_every_site_gets_its_list_and_keeps_the_one_it_has(owner):
    keep_sites(owner, 2)
    asked_for(owner)
    work_all()
    assert jobs(owner)[0].counts == {"made": 2}
    rows = SeasonList.objects.values_list("site__key", "season", "year")
    assert sorted(rows) == [
        ("site-00", "shutdown", 2026),
        ("site-01", "shutdown", 2026),
    ]
    asked_for(owner)
    work_all()
    assert jobs(owner)[0].counts == {"there already": 2}
    assert SeasonList.objects.count() == 2


def test_a_site_whose_list_cannot_be_made_is_told_by_name(owner):
    keep_sites(owner, 1)
    ask_for_job(
        owner,
        kind="build_lists",
        asked=CHOICES | {"compressor": "none-such"},
        now=NOW,
        actor="Robin",
    )
    work_all()
    (line,) = jobs(owner)
    assert line.counts == {"refused": 1}
    assert line.said[0].startswith("site-00: ")


def test_a_list_that_someone_opened_meanwhile_is_told_and_not_doubled(owner):
    keep_sites(owner, 1)
    first = prepare_list(owner, CHOICES, ["site-00"], NOW)
    second = prepare_list(owner, CHOICES, ["site-00"], NOW)
    assert first().counts == {"made": 1}
    assert second().counts == {"refused": 1}
    assert SeasonList.objects.count() == 1


def test_every_site_gets_its_outlook(owner):
    keep_sites(owner, 3)
    asked_for(owner, "refresh_outlooks")
    work_all()
    assert jobs(owner)[0].counts["worked out"] == 3
    assert SiteOutlook.objects.count() == 3


def test_the_schedule_asks_once_an_hour_whoever_comes_first(owner, stranger):
    keep_sites(owner, 1)
    keep_sites(stranger, 1)
    assert ask_by_the_hour(now=NOW) == 2
    assert ask_by_the_hour(now=NOW) == 0
    assert jobs(owner)[0].asked_by == SCHEDULE


def test_old_jobs_of_the_schedule_go_and_those_of_people_stay(owner):
    keep_sites(owner, 1)
    ask_by_the_hour(now=NOW)
    asked_for(owner)
    work_all()
    assert take_turn("hourly", every=timedelta(0))
    with_turn_over = timedelta(days=30)
    from maintenance.models import Heartbeat  # noqa: PLC0415

    Heartbeat.objects.update(at=NOW - with_turn_over)
    assert ask_by_the_hour(now=NOW + timedelta(days=8)) == 1
    assert sorted((line.kind, line.unfinished) for line in jobs(owner)) == [
        ("build_lists", False),
        ("refresh_outlooks", True),
    ]


@pytest.mark.django_db
def test_a_sign_of_life_is_as_old_as_the_databases_clock_says():
    give_sign("beat")
    give_sign("beat")
    (age,) = ages().values()
    assert timedelta(seconds=-1) < age < timedelta(minutes=1)


@pytest.mark.django_db
def test_a_turn_is_taken_once_until_it_comes_again():
    hour = timedelta(hours=1)
    assert take_turn("sweep", every=hour)
    assert not take_turn("sweep", every=hour)
    assert take_turn("sweep", every=timedelta(0))

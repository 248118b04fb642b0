"""A job is asked for once, by whom it concerns, and can be called off."""

import pytest

from maintenance.models import Job
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.jobs.ask import ask_for_job, cancel_job
from maintenance.services.jobs.queries import jobs
from maintenance.services.jobs.work import work_on_next
from tests.services.jobs.many_sites import (
    CHOICES,
    LEASE,
    MARKERS,
    NOW,
    asked_for,
    keep_sites,
    marks,
)


def test_asked_twice_it_is_one_job(owner):
    keep_sites(owner, 2)
    assert asked_for(owner) == asked_for(owner)
    (line,) = jobs(owner)
    assert (line.state, line.done, line.total) == ("waiting", 0, 2)
    assert line.choices == CHOICES


def test_with_other_choices_a_second_one_is_refused(owner):
    keep_sites(owner, 1)
    asked_for(owner)
    with pytest.raises(ConflictError, match="other choices"):
        ask_for_job(
            owner,
            kind="build_lists",
            asked=CHOICES | {"year": 2027},
            now=NOW,
            actor="Robin",
        )


def test_an_unknown_job_and_an_account_without_sites_are_refused(owner):
    with pytest.raises(ServiceError, match="no site"):
        asked_for(owner)
    keep_sites(owner, 1)
    with pytest.raises(ServiceError, match='no job "lists"'):
        asked_for(owner, "lists")
    assert not Job.objects.exists()


def test_a_job_belongs_to_its_account(owner, stranger):
    keep_sites(owner, 1)
    number = asked_for(owner)
    assert jobs(stranger) == []
    with pytest.raises(NotFoundError):
        cancel_job(stranger, job=number, now=NOW)
    assert jobs(owner)[0].unfinished


def test_a_job_that_is_called_off_does_no_further_piece(owner):
    keep_sites(owner, 3)
    number = asked_for(owner)
    assert work_on_next(MARKERS, lease=LEASE, now=NOW)
    cancel_job(owner, job=number, now=NOW)
    assert not work_on_next(MARKERS, lease=LEASE, now=NOW)
    (line,) = jobs(owner)
    assert (line.state, line.done, line.ended_at) == ("cancelled", 1, NOW)
    assert sum(marks().values()) == 1
    with pytest.raises(ConflictError, match="ended already"):
        cancel_job(owner, job=number, now=NOW)


def test_a_piece_that_is_at_work_while_the_job_is_called_off_is_not_stored(owner):
    keep_sites(owner, 1)
    number = asked_for(owner)

    def called_off(account, asked, sites, now):
        store = MARKERS["build_lists"](account, asked, sites, now)
        cancel_job(owner, job=number, now=NOW)
        return store

    assert work_on_next({"build_lists": called_off}, lease=LEASE, now=NOW)
    assert jobs(owner)[0].state == "cancelled"
    assert sum(marks().values()) == 0

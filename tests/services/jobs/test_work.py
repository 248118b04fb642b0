"""Each piece is done once, whoever stops, is overtaken, or makes a mistake."""

import pytest
from django.db import OperationalError

from maintenance.engine.errors import InputError
from maintenance.models import Job
from maintenance.services.jobs.claim import (
    MOST_SAID,
    MOST_TRIES,
    claim_piece,
    give_back,
)
from maintenance.services.jobs.queries import jobs
from maintenance.services.jobs.values import Piece
from maintenance.services.jobs.work import waiting_jobs, work_on_next
from tests.services.jobs.many_sites import (
    LEASE,
    MARKERS,
    NOW,
    OVER,
    asked_for,
    keep_sites,
    mark,
    marks,
)


def work(doer=mark, lease=LEASE):
    doers = {"build_lists": doer, "refresh_outlooks": doer}
    return work_on_next(doers, lease=lease, now=NOW)


@pytest.fixture
def job(owner):
    keep_sites(owner, 3)
    asked_for(owner)
    return owner


def test_a_job_is_done_site_by_site_and_ends(job):
    seen = []
    while work():
        (line,) = jobs(job)
        seen.append((line.state, line.done))
    assert seen == [("waiting", 1), ("waiting", 2), ("done", 3)]
    assert set(marks().values()) == {1}
    assert jobs(job)[0].counts == {"marked": 3}


def test_outlooks_are_done_twenty_sites_at_a_time(owner):
    keep_sites(owner, 21)
    asked_for(owner, "refresh_outlooks")
    assert work()
    assert jobs(owner)[0].done == 20
    assert work()
    assert (jobs(owner)[0].state, set(marks().values())) == ("done", {1})


def test_what_one_worker_holds_no_other_gets(job):
    assert claim_piece(lease=LEASE, now=NOW)
    assert waiting_jobs() == 0
    assert not work()


def test_a_lease_that_ended_brings_the_piece_back(job):
    dead = claim_piece(lease=OVER, now=NOW)
    assert dead
    assert waiting_jobs() == 1
    while work():
        pass
    assert set(marks().values()) == {1}


def test_a_worker_that_was_overtaken_stores_nothing(job):
    def slow(account, asked, sites, now):
        store = mark(account, asked, sites, now)
        assert work()  # another worker does the same piece meanwhile
        return store

    assert work(slow, lease=OVER)
    assert jobs(job)[0].done == 1
    assert sorted(marks().values()) == [0, 0, 1]


def test_one_site_that_is_refused_does_not_stop_the_others(job):
    def refuse_first(account, asked, sites, now):
        if sites == ["site-00"]:
            raise InputError("no water")
        return mark(account, asked, sites, now)

    while work(refuse_first):
        pass
    (line,) = jobs(job)
    assert (line.state, line.done) == ("done", 3)
    assert line.counts == {"refused": 1, "marked": 2}
    assert line.said == ["site-00: no water"]


def test_a_mistake_of_the_tool_is_logged_and_not_shown(job, caplog):
    def broken(*_args):
        raise RuntimeError("seam")

    assert work(broken)
    (line,) = jobs(job)
    assert "seam" in caplog.text
    assert line.said == ["site-00: The tool made a mistake here; its log says more."]


def test_a_database_that_does_not_answer_leaves_the_piece_to_its_lease(job):
    def away(*_args):
        raise OperationalError("gone")

    with pytest.raises(OperationalError):
        work(away)
    row = Job.objects.get()
    assert (row.state, row.done, row.tries) == ("running", 0, 1)
    assert row.lease_until is not None


def test_a_worker_that_is_told_to_end_gives_its_piece_back(job):
    def ended(*_args):
        raise SystemExit

    with pytest.raises(SystemExit):
        work(ended)
    assert waiting_jobs() == 1


def test_a_piece_that_always_stops_its_worker_is_given_up(job):
    for _try in range(MOST_TRIES):
        piece = claim_piece(lease=LEASE, now=NOW)
        assert piece
        give_back(piece)
    assert claim_piece(lease=LEASE, now=NOW) is None
    (line,) = jobs(job)
    assert (line.state, line.ended_at) == ("failed", NOW)
    assert f"stopped {MOST_TRIES} times" in line.error


def test_the_job_that_waits_longest_goes_first(owner):
    keep_sites(owner, 1)
    first, second = asked_for(owner), asked_for(owner, "refresh_outlooks")
    assert (piece := claim_piece(lease=LEASE, now=NOW))
    assert piece.job == first
    assert (piece := claim_piece(lease=LEASE, now=NOW))
    assert piece.job == second


def test_of_many_sentences_the_first_are_kept_and_the_rest_counted(owner):
    keep_sites(owner, 1)
    asked_for(owner)
    many = Piece({}, [f"site {n}" for n in range(MOST_SAID + 7)])
    assert work(lambda *_args: lambda: many)
    (line,) = jobs(owner)
    assert (len(line.said), line.left_out) == (MOST_SAID, 7)
    assert MARKERS.keys() >= {line.kind}

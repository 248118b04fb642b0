"""Two at the same moment: nothing is stored twice, nothing slips past the closing."""

import threading

import pytest
from django.db import connection

from maintenance.models import SeasonList, StepRecord
from maintenance.services.accounts import local_account
from maintenance.services.errors import ServiceError
from maintenance.services.inventory.store import store_site
from maintenance.services.seasons import close as close_module, read_lists
from maintenance.services.seasons.carry_out import undo_step
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.queries import season_list
from tests.services.inventory.files import SPRING, read, rich_file
from tests.services.seasons.lists import (
    EVENING,
    MORNING,
    NOON,
    SITE,
    compiled,
    finish,
    ids,
    opened,
    report,
    tick,
)

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(*deeds):
    """Do each in a thread of its own; return what each gave or was told."""
    start = threading.Barrier(len(deeds))
    told: list[object] = [None] * len(deeds)

    def run(number, deed):
        try:
            start.wait(timeout=30)
            told[number] = deed()
        except ServiceError as refusal:
            told[number] = refusal
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=each) for each in enumerate(deeds)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    return told


def test_one_report_sent_twice_at_once_is_kept_once():
    account = local_account()
    list_id = opened(account)
    sent = tick(ids(account, list_id)["first"])
    told = at_once(*[lambda: report(account, list_id, sent)] * 4)
    assert sorted(map(str, told)) == ["0", "0", "0", "1"]
    assert StepRecord.objects.count() == 1


def test_of_two_reports_of_one_step_one_is_kept_and_the_other_told():
    account = local_account()
    list_id = opened(account)
    number = ids(account, list_id)["first"]
    sent = [tick(number), tick(number)]
    told = at_once(*(lambda each=each: report(account, list_id, each) for each in sent))
    assert sum(isinstance(answer, ServiceError) for answer in told) == 1
    assert StepRecord.objects.count() == 1


def test_of_two_who_open_one_list_one_wins():
    account = local_account()
    store_site(read(rich_file()), account=account, now=SPRING)
    ready = compiled(account)

    def open_it():
        return open_season_list(
            account, site_key=SITE, compiled=ready, year=2026, now=MORNING, actor="Ann"
        )

    told = at_once(open_it, open_it)
    assert sum(isinstance(answer, ServiceError) for answer in told) == 1
    assert SeasonList.objects.count() == 1


def test_nothing_is_taken_back_while_a_list_is_being_closed(monkeypatch):
    account = local_account()
    list_id = opened(account)
    sent = tick(ids(account, list_id)["first"])
    report(account, list_id, sent)
    finish(account, list_id)
    looked = threading.Event()
    told: list[object] = []

    def read_slowly(*args):
        whole = read_lists.read_one(*args)
        looked.set()
        thread.join(timeout=1)
        return whole

    def undo():
        looked.wait(timeout=30)
        try:
            told.append(
                undo_step(
                    account,
                    list_id=list_id,
                    step=sent.step,
                    client_id=sent.client_id,
                    now=NOON,
                    actor="Cy",
                )
            )
        except ServiceError as refusal:
            told.append(refusal)
        finally:
            connection.close()

    thread = threading.Thread(target=undo)
    monkeypatch.setattr(close_module, "read_one", read_slowly)
    thread.start()
    close_season_list(account, list_id=list_id, now=EVENING, actor="Ann")
    thread.join(timeout=60)
    assert "was closed by Ann" in str(told[0])
    assert season_list(account, list_id=list_id).steps_left == ()

"""Two people sign the same draft at the same moment: one record, and one is told."""

import threading

import pytest
from django.db import connection

from maintenance.models import TestChain, TestRecord
from maintenance.services.accounts import local_account
from maintenance.services.backflow.drafts import Typed, begin_test, save_draft
from maintenance.services.backflow.sign import sign_test
from maintenance.services.backflow.verify import verify_records
from maintenance.services.errors import ConflictError
from tests.services.backflow.field_tests import (
    MORNING,
    SITE,
    begun,
    keep_kit,
    keep_site,
    readings,
    typed,
)

RACES = 50

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def office(transactional_db):
    account = local_account()
    keep_site(account)
    keep_kit(account)
    return account


def at_once(*deeds):
    """Do each in a thread of its own; return what each gave or was told."""
    start = threading.Barrier(len(deeds))
    told: list[object] = [None] * len(deeds)

    def run(number, deed):
        try:
            start.wait(timeout=30)
            told[number] = deed()
        except Exception as refusal:  # noqa: BLE001  (the test looks at each)
            told[number] = refusal
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=each) for each in enumerate(deeds)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    return told


def sign(office, draft_id, version, actor):
    return sign_test(
        office, draft_id=draft_id, version=version, now=MORNING, actor=actor
    )


def test_fifty_races_for_one_draft_have_one_winner_each(office):
    for race in range(1, RACES + 1):
        draft_id = begun(office, "B3")
        version = typed(office, draft_id, readings("PVB"))
        told = at_once(
            lambda d=draft_id, v=version: sign(office, d, v, "Ada"),
            lambda d=draft_id, v=version: sign(office, d, v, "Bo"),
        )
        won = [each for each in told if isinstance(each, TestRecord)]
        lost = [each for each in told if isinstance(each, ConflictError)]
        assert (len(won), len(lost)) == (1, 1), told
        assert f"signed by {won[0].signed_by}, as test {race}" in str(lost[0])
    assert TestRecord.objects.count() == RACES
    assert verify_records(office).findings == []


def test_tests_signed_at_once_stand_one_after_the_other_in_the_chain(office):
    drafts = []
    for link, kind in (("B1", "RP"), ("B2", "DC"), ("B3", "PVB"), ("B4", "SVB")):
        draft_id = begun(office, link)
        drafts.append((draft_id, typed(office, draft_id, readings(kind))))
    told = at_once(*(lambda d=d, v=v: sign(office, d, v, "Ada") for d, v in drafts))
    assert all(isinstance(each, TestRecord) for each in told), told
    numbers = TestRecord.objects.order_by("number").values_list("number", flat=True)
    assert list(numbers) == [1, 2, 3, 4]
    assert TestChain.objects.get().count == 4
    found = verify_records(office)
    assert (found.records, found.findings) == (4, [])


def test_two_who_begin_one_test_go_on_with_one_draft(office):
    def begin():
        return begin_test(office, site_key=SITE, link="B1", now=MORNING, actor="Ada")

    told = at_once(begin, begin, begin)
    assert len(set(told)) == 1, told


def test_of_two_who_save_one_version_one_is_told(office):
    draft_id = begun(office)
    version = typed(office, draft_id, readings("RP"))

    def save(reading):
        return save_draft(
            office,
            draft_id=draft_id,
            version=version,
            typed=Typed(readings("RP", check_1=reading)),
            now=MORNING,
            actor="Ada",
        )

    told = at_once(lambda: save("6.0"), lambda: save("6.2"))
    assert sum(isinstance(each, ConflictError) for each in told) == 1, told

"""The demonstration's facts, tester and gauge come once and go whole."""

from datetime import UTC, date, datetime
from io import BytesIO

import pytest

from maintenance.exchange.demonstration import read_demonstration
from maintenance.models import AssemblyFacts, AssemblyPhoto, Device, Gauge, Tester
from maintenance.services.accounts import local_account
from maintenance.services.backflow.demonstration import GAUGE, TESTER
from maintenance.services.backflow.due_queries import due_lines
from maintenance.services.backflow.kit import StatedTester, store_tester
from maintenance.services.backflow.photos import add_photo, photo_path
from maintenance.services.demonstration import (
    load_demonstration,
    remove_demonstration,
)
from tests.services.backflow.register_cases import small_photo

NOW = datetime(2026, 9, 1, 8, tzinfo=UTC)


@pytest.fixture
def account(db):
    return local_account()


def load(account):
    files = read_demonstration()
    load_demonstration(
        account, sites=files.sites, compressors=files.compressors, now=NOW
    )


def kept():
    tables = (AssemblyFacts, Tester, Gauge)
    return [(table.objects.count(), table.history.count()) for table in tables]


def test_it_comes_once_and_goes_whole(account):
    load(account)
    assert kept() == [(1, 1)] * 3
    load(account)
    assert kept() == [(1, 1)] * 3
    facts = AssemblyFacts.objects.get()
    assert (facts.device.site.key, facts.place) == ("larkmoor", "")
    assert Tester.objects.get().name == TESTER
    assert Gauge.objects.get().serial == GAUGE
    remove_demonstration(account)
    assert kept() == [(0, 0)] * 3


def test_a_plain_rule_makes_its_next_test_due(account):
    load(account)
    lines, _table = due_lines(account, now=NOW)
    line = next(each for each in lines if each.assembly.stated.own_rule)
    assert line.rule is not None
    # Put in on 2 May 2019, and no test is on record.
    assert (line.rule.id, line.due) == ("yearly", date(2020, 5, 2))


def test_its_photos_leave_no_file(account):
    load(account)
    device = Device.objects.get(site__key="larkmoor")
    add_photo(
        account,
        device_id=device.pk,
        picture=BytesIO(small_photo()),
        now=NOW,
        actor="Ann",
    )
    path = photo_path(AssemblyPhoto.objects.get().file_name)
    assert path.exists()
    remove_demonstration(account)
    assert not path.exists()


def test_a_tester_that_a_person_changed_stays(account):
    load(account)
    row = Tester.objects.get()
    told = StatedTester(name=TESTER, certificate="my own")
    store_tester(account, stated=told, kit_id=row.pk, version=1, now=NOW, actor="Ann")
    remove_demonstration(account)
    assert [(t.objects.count()) for t in (Tester, Gauge)] == [1, 0]

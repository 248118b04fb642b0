"""What the tables of season lists refuse, whoever writes."""

from datetime import UTC, datetime
from typing import get_args

import pytest
from django.db import IntegrityError, transaction

from maintenance.engine.procedure import progress
from maintenance.engine.procedure.step import Season
from maintenance.models import (
    Account,
    ListStep,
    SeasonList,
    Site,
    StepRecord,
    ZoneOutcome,
)
from maintenance.models.season import OUTCOMES, SEASONS, ZONE_ENDS

pytestmark = pytest.mark.django_db
BEGUN = datetime(2026, 10, 14, 8, 0, tzinfo=UTC)
ENDED = datetime(2026, 10, 14, 16, 0, tzinfo=UTC)


class Rows:
    """One valid row of each table; `make` gives another with some columns changed."""

    def __init__(self, name: str = "a") -> None:
        account = Account.objects.create(key=name, name=name)
        self.account = account
        self.site = Site.objects.create(
            account=account,
            key="s",
            name="S",
            elevation_m=0,
            time_zone="UTC",
            record={},
        )
        self.list = self.make(SeasonList)
        self.step = self.make(ListStep)
        self.record = self.make(StepRecord)
        self.zone = self.make(ZoneOutcome)

    def make(self, model, **columns):
        return model.objects.create(**(self.columns(model) | columns))

    def columns(self, model):
        if model is SeasonList:
            return {
                "site": self.site,
                "season": "shutdown",
                "year": 2026,
                "site_version": 1,
                "opened_at": BEGUN,
                "opened_by": "Ann",
            }
        if model is ListStep:
            return {"list": self.list, "key": "k", "rank": 0, "record": {}}
        if model is StepRecord:
            return {
                "step": self.step,
                "client_id": "1",
                "outcome": "done",
                "who": "Ann",
                "done_at": BEGUN,
                "received_at": BEGUN,
            }
        return {"list": self.list, "zone": "1", "rank": 0}


@pytest.fixture
def rows():
    return Rows()


UNDONE = {"client_id": "2", "undone_at": ENDED}


@pytest.mark.parametrize(
    ("model", "columns"),
    [
        (SeasonList, {}),
        (SeasonList, {"year": 2027, "season": "summer"}),
        (SeasonList, {"year": 1899}),
        (SeasonList, {"year": 2201}),
        (SeasonList, {"year": 2027, "opened_at": ENDED, "closed_at": BEGUN}),
        (ListStep, {}),
        (StepRecord, {}),
        (StepRecord, {"undone_at": ENDED}),
        (StepRecord, {"client_id": "2"}),
        (StepRecord, UNDONE | {"outcome": "half"}),
        (StepRecord, UNDONE | {"outcome": "skipped"}),
        (StepRecord, UNDONE | {"seconds": -1.0}),
        (StepRecord, UNDONE | {"reading_si": 1.0}),
        (ZoneOutcome, {}),
        (ZoneOutcome, {"zone": "2", "outcome": "dry"}),
        (ZoneOutcome, {"zone": "2", "outcome": "skipped"}),
        (ZoneOutcome, {"zone": "2", "outcome": "partly"}),
    ],
)
def test_a_row_that_cannot_be_true_is_refused(rows, model, columns):
    with pytest.raises(IntegrityError), transaction.atomic():
        rows.make(model, **columns)


@pytest.mark.parametrize(
    ("model", "columns"),
    [
        (SeasonList, {"year": 2027}),
        (SeasonList, {"season": "frost_night"}),
        (SeasonList, {"closed_at": BEGUN}),
        (ListStep, {"key": "l"}),
        (ListStep, {"retired_at": ENDED}),
        (StepRecord, UNDONE),
        (StepRecord, UNDONE | {"outcome": "skipped", "reason": "no key"}),
        (StepRecord, UNDONE | {"seconds": 0.0}),
        (StepRecord, UNDONE | {"reading_si": 0.0, "reading_kind": "pressure"}),
        (ZoneOutcome, {"zone": "2", "outcome": "not_found"}),
        (ZoneOutcome, {"zone": "2", "outcome": "partly", "note": "two heads"}),
    ],
)
def test_a_row_at_the_edge_is_kept(rows, model, columns):
    assert rows.make(model, **columns).pk


def test_a_season_is_open_once_and_closed_as_often_as_it_takes(rows):
    rows.list.closed_at = ENDED
    rows.list.save()
    second = rows.make(SeasonList)
    second.closed_at = ENDED
    second.save()
    rows.make(SeasonList)
    assert SeasonList.objects.open().count() == 1
    with pytest.raises(IntegrityError), transaction.atomic():
        SeasonList.objects.update(closed_at=None)


def test_each_table_starts_from_an_account(rows):
    stranger = Rows("b")
    for model, own in (
        (SeasonList, rows.list),
        (ListStep, rows.step),
        (StepRecord, rows.record),
        (ZoneOutcome, rows.zone),
    ):
        assert list(model.objects.for_account(rows.account)) == [own]
        assert model.objects.for_account(stranger.account).count() == 1


def test_what_stands_is_told_from_what_does_not(rows):
    for row in (rows.step, rows.zone):
        row.retired_at = ENDED
        row.save()
    rows.record.undone_at = ENDED
    rows.record.save()
    assert not ListStep.objects.standing().exists()
    assert not ZoneOutcome.objects.standing().exists()
    assert not StepRecord.objects.standing().exists()
    first = rows.make(ListStep, key="y", rank=2)
    before = rows.make(ListStep, key="z", rank=1)
    assert list(ListStep.objects.standing()) == [before, first]


def test_every_table_keeps_its_history_and_says_its_name(rows):
    names = {"list": "shutdown 2026", "step": "k", "record": "done", "zone": "1"}
    for name, text in names.items():
        row = getattr(rows, name)
        assert row.history.count() == 1, name
        assert str(row) == text


def test_the_tables_know_the_words_of_the_engine():
    assert get_args(Season) == SEASONS
    assert progress.OUTCOMES == get_args(progress.Outcome) == OUTCOMES
    assert progress.ZONE_ENDS == get_args(progress.ZoneEnd) == ZONE_ENDS

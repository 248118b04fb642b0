"""What the tables themselves refuse, whoever writes."""

from datetime import UTC, datetime

import pytest
from django.db import IntegrityError, transaction

from maintenance.models import (
    Account,
    Compressor,
    Controller,
    Device,
    Link,
    Point,
    Site,
    Zone,
)

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 4, 1, tzinfo=UTC)
LATER = datetime(2026, 5, 1, tzinfo=UTC)


class Rows:
    """One valid row of each table; `make` gives another with some columns changed."""

    def __init__(self, name: str = "a") -> None:
        self.account = Account.objects.create(key=name, name=name)
        self.site = self.make(Site)
        self.start = self.make(Point)
        self.end = self.make(Point, key="end", rank=1)
        self.link = self.make(Link)
        self.zone = self.make(Zone)
        self.controller = self.make(Controller)
        self.device = self.make(Device)
        self.compressor = self.make(Compressor)

    def make(self, model, **columns):
        return model.objects.create(**(self.columns(model) | columns))

    def columns(self, model):
        owned: dict[str, object] = {
            "account": getattr(self, "account", None),
            "record": {},
        }
        part = {"site": getattr(self, "site", None), "key": "p", "rank": 0}
        match model.__name__:
            case "Site":
                own = {"key": "s", "name": "S", "elevation_m": 0.0, "time_zone": "UTC"}
                return owned | own
            case "Compressor":
                return owned | {"key": "c", "free_air_m3_per_s": 0.01, "receiver_m3": 0}
            case "Point":
                own = {"kind": "junction", "elevation_m": 0.0}
            case "Link":
                ends = {"from_point": self.start, "to_point": self.end}
                own = ends | {"kind": "pipe", "length_m": 1.0}
            case "Zone":
                own = {"valve": self.link}
            case "Controller":
                own = {}
            case "Device":
                what = {"kind": "PVB", "serial": "1", "since": NOW}
                return {"site": self.site, "link": self.link} | what
        return part | {"record": {}} | own


@pytest.fixture
def rows():
    return Rows()


@pytest.mark.parametrize(
    ("model", "columns"),
    [
        (Site, {}),
        (Site, {"key": "t", "version": 0}),
        (Site, {"key": "t", "latitude": 91.0}),
        (Site, {"key": "t", "longitude": -181.0}),
        (Point, {}),
        (Point, {"key": "q", "position_east_m": 1.0}),
        (Link, {}),
        (Link, {"key": "q", "length_m": 0.0}),
        (Link, {"key": "q", "length_m": None}),
        (Zone, {}),
        (Zone, {"key": "q", "valve": None}),
        (Zone, {"key": "q", "area_m2": 0.0}),
        (Controller, {}),
        (Device, {"serial": "2"}),
        (Device, {"until": LATER}),
        (Device, {"serial": "2", "since": LATER, "until": NOW}),
        (Compressor, {}),
        (Compressor, {"key": "d", "version": 0}),
        (Compressor, {"key": "d", "free_air_m3_per_s": -1.0}),
        (Compressor, {"key": "d", "receiver_m3": -1.0}),
    ],
)
def test_a_row_that_cannot_be_true_is_refused(rows, model, columns):
    with pytest.raises(IntegrityError), transaction.atomic():
        rows.make(model, **columns)


@pytest.mark.parametrize(
    ("model", "columns"),
    [
        (Site, {"key": "t", "latitude": -90.0, "longitude": 180.0}),
        (Point, {"key": "q", "position_east_m": 1.0, "position_north_m": 2.0}),
        (Link, {"key": "q", "kind": "fitting", "length_m": None}),
        (Zone, {"key": "q", "area_m2": 1.0}),
        (Controller, {"key": "q", "stations": 0}),
        (Device, {"serial": "2", "until": LATER}),
        (Device, {"serial": "", "until": NOW}),
        (Compressor, {"key": "d", "free_air_m3_per_s": 0.0}),
    ],
)
def test_a_row_at_the_edge_is_kept(rows, model, columns):
    assert rows.make(model, **columns).pk


def test_each_table_starts_from_an_account(rows):
    stranger = Rows("b")
    for model, own in (
        (Site, [rows.site]),
        (Point, [rows.start, rows.end]),
        (Link, [rows.link]),
        (Zone, [rows.zone]),
        (Controller, [rows.controller]),
        (Device, [rows.device]),
        (Compressor, [rows.compressor]),
    ):
        assert list(model.objects.for_account(rows.account).order_by("pk")) == own
        assert model.objects.for_account(stranger.account).count() == len(own)


def test_what_stands_is_told_from_what_is_retired(rows):
    for row in (rows.site, rows.end, rows.zone, rows.compressor):
        row.retired_at = NOW
        row.save()
    rows.device.until = LATER
    rows.device.save()
    assert not Site.objects.standing().exists()
    assert list(Point.objects.standing()) == [rows.start]
    assert list(Link.objects.standing()) == [rows.link]
    assert not Zone.objects.standing().exists()
    assert not Compressor.objects.standing().exists()
    assert not Device.objects.standing().exists()


def test_every_table_keeps_its_history(rows):
    for row in vars(rows).values():
        assert row.history.count() == 1, row


def test_rows_say_their_names(rows):
    assert str(rows.account) == "a"
    assert str(rows.site) == "S"
    assert str(rows.zone) == "p"
    assert str(rows.device) == "PVB 1"
    assert str(rows.compressor) == "c"

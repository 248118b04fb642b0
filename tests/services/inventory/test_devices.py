"""The assembly that stands at a link: a new serial is a new device."""

from datetime import date

import pytest

from maintenance.engine.site import Backflow
from maintenance.models import Device
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory.columns import device_columns
from maintenance.services.inventory.queries import devices
from maintenance.services.inventory.store import store_site
from tests.services.inventory.files import (
    AUTUMN,
    SPRING,
    SUMMER,
    edited,
    part,
    read,
    rich_file,
)

SITE = "example-lateral"
FIRST = ("PVB", "A-100")


def put(account, now, **columns):
    """Store the rich site with another assembly at B1; None takes a key out."""

    def edit(file):
        link = part(file, "links", "B1")
        for key, value in columns.items():
            if value is None:
                link.pop(key)
            else:
                link[key] = value

    return store_site(read(edited(rich_file(), edit)), account=account, now=now)


def put_without_the_assembly(account, now):
    def edit(file):
        file["links"].remove(part(file, "links", "B1"))
        file["links"].append({"id": "F", "kind": "fitting", "from": "SUP", "to": "AIR"})

    return store_site(read(edited(rich_file(), edit)), account=account, now=now)


def standing(account):
    return [
        (line.kind, line.serial)
        for line in devices(account, key=SITE)
        if line.until is None
    ]


def spans(account):
    return [
        (line.serial, line.since, line.until) for line in devices(account, key=SITE)
    ]


def test_a_new_site_has_its_device(owner):
    put(owner, SPRING)
    (line,) = devices(owner, key=SITE)
    assert (line.link, line.kind, line.serial) == ("B1", *FIRST)
    assert (line.installed, line.since, line.until) == (date(2019, 5, 2), SPRING, None)


def test_a_new_serial_retires_the_old_device(owner):
    put(owner, SPRING)
    put(owner, SUMMER, serial="B-200", installed="2026-06-30")
    assert spans(owner) == [("A-100", SPRING, SUMMER), ("B-200", SUMMER, None)]


def test_the_old_serial_again_is_the_old_device_again(owner):
    put(owner, SPRING)
    put(owner, SUMMER, serial="B-200")
    put(owner, AUTUMN)
    assert spans(owner) == [("A-100", SPRING, None), ("B-200", SUMMER, AUTUMN)]
    assert Device.objects.get(serial="A-100").history.count() == 3


@pytest.mark.parametrize(
    ("columns", "now_standing"),
    [
        ({"device": "SVB"}, ("SVB", "A-100")),
        ({"size": "3/4"}, FIRST),
        ({"installed": "2019-05-03"}, FIRST),
        ({"serial": None}, ("PVB", "")),
        ({"note": "leaks"}, FIRST),
    ],
)
def test_more_or_other_knowledge_of_the_same_device_is_no_new_device(
    owner, columns, now_standing
):
    put(owner, SPRING)
    put(owner, SUMMER, **columns)
    assert standing(owner) == [now_standing]
    assert Device.objects.count() == 1


def test_a_serial_that_becomes_known_belongs_to_the_device_that_stands(owner):
    put(owner, SPRING, serial=None)
    put(owner, SUMMER)
    assert spans(owner) == [("A-100", SPRING, None)]


def test_a_serial_that_was_not_copied_and_then_is_is_one_device(owner):
    put(owner, SPRING)
    put(owner, SUMMER, serial="B-200")
    put(owner, SUMMER, serial=None)
    put(owner, AUTUMN)
    assert standing(owner) == [FIRST]
    assert Device.objects.count() == 2


def test_another_kind_without_a_serial_is_another_device(owner):
    put(owner, SPRING, serial=None)
    put(owner, SUMMER, serial=None, device="RP")
    assert standing(owner) == [("RP", "")]
    assert Device.objects.count() == 2


@pytest.mark.parametrize("serial", ["A-100", None])
def test_a_link_that_goes_and_comes_back_takes_its_device_along(owner, serial):
    put(owner, SPRING, serial=serial)
    put_without_the_assembly(owner, SUMMER)
    assert standing(owner) == []
    put(owner, AUTUMN, serial=serial)
    assert spans(owner) == [(serial or "", SPRING, None)]


def test_an_installation_day_that_is_no_date_is_kept_as_text_only():
    assembly = Backflow(id="B", from_="a", to="b", device="RP", installed="about 2019")
    assert device_columns(assembly)["installed"] is None


def test_a_clock_set_back_ends_no_device_before_it_began(owner):
    put(owner, SUMMER)
    put(owner, SPRING, serial="B-200")
    assert spans(owner)[0] == ("B-200", SPRING, None)
    assert spans(owner)[1] == ("A-100", SUMMER, SUMMER)


def test_a_stranger_sees_no_devices(owner, stranger):
    put(owner, SPRING)
    with pytest.raises(NotFoundError):
        devices(stranger, key=SITE)

"""What happened to a site, in words."""

import pytest

from maintenance.services.errors import NotFoundError
from maintenance.services.inventory.queries import HistoryLine, site_history
from maintenance.services.inventory.store import (
    restore_site,
    retire_site,
    store_site,
)
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


def put(file, account, now, actor=""):
    return store_site(read(file), account=account, now=now, actor=actor)


def test_a_new_site_is_one_line(owner):
    put(rich_file(), owner, SPRING, actor="Kim")
    parts = sum(
        len(rich_file()[kind]) for kind in ("points", "links", "zones", "controllers")
    )
    assert site_history(owner, key=SITE) == [
        HistoryLine(SPRING, "added", "", f"with {parts} parts", "Kim")
    ]


def test_a_change_says_what_became_what(owner):
    put(rich_file(), owner, SPRING)

    def edit(file):
        file["name"] = "Other"
        part(file, "links", "R1").update(length="9 m", cover="turf")
        part(file, "points", "H1").pop("riser")

    put(edited(rich_file(), edit), owner, SUMMER, actor="Kim")
    lines = [line for line in site_history(owner, key=SITE) if line.when == SUMMER]
    assert {(line.what, line.part, line.text, line.actor) for line in lines} == {
        (
            "changed",
            "",
            "name Example lateral (reference 1, section 7) became Other",
            "Kim",
        ),
        (
            "changed",
            "R1",
            "length 26-1/4 ft (measured) became 9 m; cover turf put in",
            "Kim",
        ),
        ("changed", "H1", "riser PVC Sch 40 taken out", "Kim"),
    }


def test_retiring_and_restoring_are_told_newest_first(owner):
    put(rich_file(), owner, SPRING)

    def edit(file):
        file["zones"].remove(part(file, "zones", "4"))

    put(edited(rich_file(), edit), owner, SUMMER)
    put(rich_file(), owner, AUTUMN)
    told = [(line.when, line.what, line.part) for line in site_history(owner, key=SITE)]
    assert told == [
        (AUTUMN, "restored", "4"),
        (SUMMER, "retired", "4"),
        (SPRING, "added", ""),
    ]


def test_the_site_itself_is_told_to_be_retired_and_restored(owner):
    put(rich_file(), owner, SPRING)
    retire_site(owner, key=SITE, now=SUMMER)
    restore_site(owner, key=SITE, now=AUTUMN)
    told = [(line.what, line.part) for line in site_history(owner, key=SITE)]
    assert told == [("restored", ""), ("retired", ""), ("added", "")]


def test_a_part_that_comes_later_has_its_own_line(owner):
    put(rich_file(), owner, SPRING)

    def edit(file):
        file["controllers"].append({"id": "K3"})

    put(edited(rich_file(), edit), owner, SUMMER)
    first = site_history(owner, key=SITE)[0]
    assert (first.what, first.part) == ("added", "K3")


def test_a_stranger_sees_no_history(owner, stranger):
    put(rich_file(), owner, SPRING)
    with pytest.raises(NotFoundError):
        site_history(stranger, key=SITE)

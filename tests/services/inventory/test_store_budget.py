"""Storing a site of some 250 parts takes few queries, on both databases.

SQLite takes at most 999 values a statement, so that there many rows are several
statements; PostgreSQL takes one.
"""

import pytest
from django.db import connection

from maintenance.services.inventory.store import store_site
from tests.services.inventory.files import (
    SPRING,
    SUMMER,
    edited,
    large_file as large,
    part,
    read,
)

SQLITE = connection.vendor == "sqlite"


@pytest.fixture
def kept(owner):
    store_site(read(large()), account=owner, now=SPRING)
    return owner


def store(file, account):
    return store_site(read(file), account=account, now=SUMMER)


def test_the_large_site_is_large():
    value = read(large())
    assert len(value.points) + len(value.links) >= 245


def test_a_new_site(owner, django_assert_max_num_queries):
    # savepoint, site looked for, site + history,
    # points, links, zone and device, each + history; release
    with django_assert_max_num_queries(18 if SQLITE else 14):
        store(large(), owner)


def test_the_same_site(kept, django_assert_num_queries):
    # savepoint; site, points, links, zones, controllers; release
    with django_assert_num_queries(7):
        store(large(), kept)


def test_one_part_changed(kept, django_assert_num_queries):
    file = edited(large(), lambda file: part(file, "links", "R9").update(length="7 m"))
    # as above, and: version claimed, site + history, link + history, devices there
    with django_assert_num_queries(13):
        store(file, kept)


def test_every_head_changed(kept, django_assert_max_num_queries):
    def edit(file):
        for point in file["points"]:
            point["note"] = "seen"

    with django_assert_max_num_queries(14 if SQLITE else 12):
        store(edited(large(), edit), kept)


def test_a_part_put_in_front(kept, django_assert_max_num_queries):
    def edit(file):
        file["points"].insert(0, {"id": "N", "kind": "junction", "elevation": "0 m"})
        file["links"].insert(0, {"id": "F", "kind": "fitting", "from": "N", "to": "M1"})

    # as one part changed, with one more kind, and the places of those behind
    with django_assert_max_num_queries(17):
        store(edited(large(), edit), kept)

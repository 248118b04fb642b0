"""The lists, and how many queries each question may take."""

import pytest

from maintenance.services.inventory.queries import (
    SiteLine,
    compressors,
    devices,
    site,
    site_history,
    site_version,
    sites,
    sites_of,
)
from maintenance.services.inventory.store import (
    retire_site,
    store_compressor,
    store_site,
)
from tests.services.inventory.files import (
    SPRING,
    SUMMER,
    card_file,
    edited,
    example,
    large_file,
    part,
    read,
    read_machine,
    rich_file,
)


def test_sites_stand_by_name_and_the_retired_ones_last(owner, stranger):
    store_site(read(rich_file()), account=owner, now=SPRING)
    store_site(read(example("site-a")), account=owner, now=SPRING, demo=True)
    store_site(read(card_file()), account=owner, now=SPRING)
    retire_site(owner, key="example-lateral", now=SUMMER)
    assert sites(owner) == [
        SiteLine(
            "card",
            "One card",
            9,
            1,
            demo=False,
            card=True,
            retired=False,
            time_zone="America/Denver",
        ),
        SiteLine(
            "site-a",
            "Site A (reference 2, section 5.4)",
            2,
            1,
            demo=True,
            card=False,
            retired=False,
            time_zone="America/Denver",
        ),
        SiteLine(
            "example-lateral",
            "Example lateral (reference 1, section 7)",
            2,
            2,
            demo=False,
            card=False,
            retired=True,
            time_zone="America/Denver",
        ),
    ]
    assert sites(stranger) == []


def test_a_retired_zone_is_not_counted(owner):
    store_site(read(rich_file()), account=owner, now=SPRING)
    without = edited(
        rich_file(), lambda file: file["zones"].remove(part(file, "zones", "4"))
    )
    store_site(read(without), account=owner, now=SUMMER)
    assert sites(owner)[0].zones == 1


def test_several_sites_are_read_as_each_alone_and_a_strangers_not(
    owner, stranger, django_assert_num_queries
):
    files = (rich_file(), example("site-a"), card_file())
    for file in files:
        store_site(read(file), account=owner, now=SPRING)
    keys = [file["id"] for file in files]
    with django_assert_num_queries(5):
        found = sites_of(owner, keys=keys)
    assert found == {key: site(owner, key=key) for key in keys}
    assert sites_of(owner, keys=["site-a", "nowhere"]).keys() == {"site-a"}
    assert sites_of(stranger, keys=keys) == {}


@pytest.mark.parametrize(
    ("ask", "queries"),
    [
        (sites, 1),  # sites with the number of zones
        # site, points, links, zones, controllers
        (lambda account: site(account, key="example-lateral"), 5),
        (lambda account: site_version(account, key="example-lateral"), 1),
        (compressors, 1),
        # site, devices with their links
        (lambda account: devices(account, key="example-lateral"), 2),
        # site, histories of site, points, links, zones, controllers
        (lambda account: site_history(account, key="example-lateral"), 6),
    ],
    ids=["sites", "site", "version", "compressors", "devices", "history"],
)
def test_each_question_keeps_its_budget(owner, django_assert_num_queries, ask, queries):
    for name in ("compressor-25", "compressor-80"):
        machine = read_machine(example(name))
        store_compressor(machine, account=owner, now=SPRING)
    store_site(read(large_file()), account=owner, now=SPRING)
    with django_assert_num_queries(queries):
        ask(owner)

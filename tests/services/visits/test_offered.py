"""A choice offers who goes and where sites lie together, and nothing of others."""

from dataclasses import replace

from maintenance.models.sites import Site
from maintenance.services.visits.choose import VisitChoice
from maintenance.services.visits.offered import (
    MOST_AREAS,
    areas,
    shared_pieces,
    workers_and_undated,
)
from maintenance.services.visits.queries import visit_page
from tests.services.visits.kept import NOON, TODAY, begun, ended, planned


def test_who_has_open_visits_is_offered_and_those_without_a_day_are_counted(
    owner, site
):
    planned(owner, site, worker="Ben")
    planned(owner, site, worker="", planned_on=None)
    planned(owner, site, worker="Ann", planned_on=None)
    begun(owner, site, worker="Cleo", planned_on=None)
    ended(owner, site, "refused", "x", worker="Dan")
    assert workers_and_undated(owner) == (("Ann", "Ben", "Cleo"), 2)


def test_only_what_the_reader_sees_is_offered(owner, stranger, sites):
    planned(owner, "s0", worker="Ann")
    assert areas(owner) == ("Quill Lane",)
    assert (areas(stranger), workers_and_undated(stranger)) == ((), ((), 0))
    owner.site_keys = frozenset({"s1"})
    assert (areas(owner), workers_and_undated(owner)) == ((), ((), 0))
    owner.site_keys = None
    Site.objects.exclude(key="s0").update(retired_at=NOON)
    assert areas(owner) == ()


def test_what_is_offered_finds_the_sites_that_share_it(owner, sites):
    planned(owner, "s0")
    Site.objects.filter(key="s1").update(name="Mill Cottage, Reed")
    planned(owner, "s1")
    (area,) = areas(owner)
    found = visit_page(owner, replace(VisitChoice(), area=area), today=TODAY)
    assert [line.site_key for line in found.lines] == ["s0"]


def test_the_commonest_pieces_are_offered_in_order_of_their_names():
    names = [f"{n} Street {n % 50:02}a, Town" for n in range(100)]
    assert shared_pieces(names) == ("Street", "Town")
    many = [f"Lane {chr(65 + n % 26)}{chr(65 + n % 7)}" for n in range(400)]
    found = shared_pieces([*many, "zeta, Alpha", "zeta, Alpha"])
    assert len(found) == MOST_AREAS
    assert found == tuple(sorted(found, key=str.lower))
    assert shared_pieces(["2 Quill", "Quill 3b", "4", " , "]) == ("Quill",)

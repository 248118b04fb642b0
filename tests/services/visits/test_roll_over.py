"""Many sites roll over at once, all or none, with what was noted the year before."""

import pytest

from maintenance.models import SiteSeason, Visit
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.visits.roll_over import Stated, roll_lines, state_seasons
from tests.services.visits.kept import AUTUMN, MORNING, NOON, ended


def state(owner, *stated, plan=False, year=2027):
    return state_seasons(
        owner,
        season="shutdown",
        year=year,
        stated=stated,
        plan=plan,
        now=NOON,
        actor="office",
    )


def test_last_years_notes_and_standing_are_shown(owner, sites):
    ended(owner, "s0", "partly", "zone 2 stuck", notes="odd valve left", **AUTUMN)
    state(owner, Stated(site_key="s1", standing="changed", note="new wall"), year=2026)
    lines, more = roll_lines(owner, season="shutdown", year=2027)
    first, second = lines[:2]
    assert first.before_notes == ("partly done: zone 2 stuck; odd valve left",)
    assert (first.worker, first.version, more) == ("Ann", 0, "")
    assert (second.before, second.before_notes) == ("changed", ("new wall",))


def test_stating_many_plans_a_visit_for_each_that_goes_on(owner, sites):
    ended(owner, "s0", "done", "paper", **AUTUMN)
    told = [
        Stated(site_key="s0", standing="same"),
        Stated(site_key="s1", standing="changed", note="one zone more"),
        Stated(site_key="s2", standing="sold"),
        Stated(site_key="s3", standing="stopped"),
    ]
    assert state(owner, *told, plan=True) == (4, 2)
    visits = Visit.objects.filter(season_year=2027).order_by("site__key")
    assert [(v.site.key, v.worker, v.planned_on, v.notes) for v in visits] == [
        ("s0", "Ann", None, ""),
        ("s1", "", None, "one zone more"),
    ]
    again = [Stated(site_key="s0", standing="same", version=1)]
    assert state(owner, *again, plan=True) == (0, 0)


def test_an_old_version_stores_nothing_of_the_whole_page(owner, sites):
    state(owner, Stated(site_key="s1", standing="sold"))
    with pytest.raises(ConflictError):
        state(
            owner,
            Stated(site_key="s0", standing="same"),
            Stated(site_key="s1", standing="same", version=0),
            plan=True,
        )
    assert [row.standing for row in SiteSeason.objects.all()] == ["sold"]
    assert Visit.objects.count() == 0
    state(owner, Stated(site_key="s1", standing="same", version=1))
    row = SiteSeason.objects.get()
    assert (row.standing, row.version, row.history.count()) == ("same", 2, 2)


@pytest.mark.parametrize(
    ("stated", "fault"),
    [
        (Stated(site_key="s0", standing="maybe"), "no standing"),
        (Stated(site_key="s0", standing="changed"), "write what has changed"),
    ],
)
def test_what_is_no_standing_or_has_no_note_is_refused(owner, sites, stated, fault):
    with pytest.raises(ServiceError, match=fault):
        state(owner, stated)


def test_sites_of_others_are_not_there(owner, stranger, sites):
    with pytest.raises(NotFoundError):
        state(stranger, Stated(site_key="s0", standing="same"))
    with pytest.raises(ServiceError, match="season"):
        state_seasons(
            owner, season="party", year=2027, stated=[], now=MORNING, actor="o"
        )


def test_a_page_holds_fifty_sites_and_takes_six_queries(
    owner, sites, django_assert_num_queries, monkeypatch
):
    monkeypatch.setattr("maintenance.services.visits.roll_over.AT_ONCE", 4)
    seen, after = [], ""
    while True:
        with django_assert_num_queries(6):
            lines, after = roll_lines(owner, season="shutdown", year=2027, after=after)
        seen += [line.site_key for line in lines]
        if not after:
            break
    assert seen == [f"s{number}" for number in range(9)]

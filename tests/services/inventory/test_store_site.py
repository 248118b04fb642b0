"""A site is stored whole, by id, or not at all."""

from dataclasses import replace

import pytest

from maintenance.engine.site import checks
from maintenance.engine.site.record import Faults
from maintenance.exchange.site_file import write_site
from maintenance.models import Controller, Device, Link, Point, Zone
from maintenance.models.sites import Site as SiteRow
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.inventory import plan as plan_module
from maintenance.services.inventory.queries import site, site_version
from maintenance.services.inventory.store import (
    restore_site,
    retire_site,
    store_site,
)
from tests.services.inventory.files import (
    AUTUMN,
    SPRING,
    SUMMER,
    card_file,
    edited,
    example,
    part,
    read,
    rich_file,
)

TABLES = (SiteRow, Point, Link, Zone, Controller, Device)


def history_count() -> int:
    return sum(table.history.count() for table in TABLES)


def rows_count() -> int:
    return sum(table.objects.count() for table in TABLES)


def put(file, account, now=SPRING, **options):
    return store_site(read(file), account=account, now=now, **options)


@pytest.mark.parametrize(
    "file",
    [example("example-lateral"), example("site-a"), rich_file(), card_file()],
    ids=["lateral", "site-a", "rich", "card"],
)
def test_a_site_leaves_as_it_came(file, owner, colleague):
    entered = read(file)
    store_site(entered, account=owner, now=SPRING)
    kept = site(colleague, key=entered.id)
    assert kept == entered
    assert write_site(kept) == write_site(entered)


def test_a_new_site_says_what_it_holds(owner):
    stored = put(rich_file(), owner)
    assert stored.created
    assert stored.version == 1
    assert stored.retired == ()
    assert stored.changed[0] == "example-lateral"
    assert {"SUP", "B1", "1", "4", "K1"} <= set(stored.changed)


def test_si_stands_beside_the_text(owner):
    put(rich_file(), owner)
    kept = SiteRow.objects.get()
    assert (kept.elevation_m, kept.latitude, kept.longitude) == (0.0, 44.25, -110.5)
    assert kept.si["air_limit"] == pytest.approx(344_737.9, abs=0.1)
    assert kept.si["place.autumn_air_temperature"] == pytest.approx(280.372, abs=1e-3)
    pipe = Link.objects.get(key="R1")
    assert pipe.length_m == pytest.approx(26.25 * 0.3048)
    assert pipe.si["depth"] == pytest.approx(0.254)
    assert pipe.record["length"] == {"value": "26-1/4 ft", "origin": "measured"}
    assert (pipe.from_point.key, pipe.to_point.key) == ("L0", "H1")
    head = Point.objects.get(key="H2")
    assert (head.kind, head.elevation_m) == ("head", 0.3)
    assert (head.position_east_m, head.position_north_m) == (1e-7, 3.0)
    assert Zone.objects.get(key="1").valve == Link.objects.get(key="ZV1")
    quick = Zone.objects.get(key="4")
    assert quick.valve is None
    assert quick.starts_at == Point.objects.get(key="J9")
    assert quick.si["quick.length"] == pytest.approx(180 * 0.3048)
    assert list(Controller.objects.standing().values_list("key", "stations")) == [
        ("K2", 4),
        ("K1", None),
    ]


def test_the_same_site_twice_changes_nothing(owner):
    first = put(rich_file(), owner)
    rows, entries = rows_count(), history_count()
    again = put(rich_file(), owner, now=SUMMER, actor="someone")
    assert again == replace(first, created=False, changed=())
    assert (rows_count(), history_count()) == (rows, entries)


def test_a_changed_part_is_changed_by_its_id(owner):
    put(rich_file(), owner)
    pk, entries = Link.objects.get(key="R2").pk, history_count()
    longer = edited(
        rich_file(), lambda file: part(file, "links", "R2").update(length="10 m")
    )
    stored = put(longer, owner, now=SUMMER, actor="Kim")
    assert (stored.changed, stored.retired, stored.version) == (("R2",), (), 2)
    row = Link.objects.get(key="R2")
    assert (row.pk, row.length_m) == (pk, 10.0)
    assert history_count() == entries + 2  # the part's, and the site's version
    entry = row.history.latest()
    assert (entry.actor, entry.history_date, entry.length_m) == ("Kim", SUMMER, 10.0)


@pytest.mark.parametrize(
    ("edit", "changed"),
    [
        (lambda file: file.update(name="Other"), ("example-lateral",)),
        (lambda file: file["notes"].append("More."), ("example-lateral",)),
        (lambda file: part(file, "points", "H3").pop("riser"), ("H3",)),
        (lambda file: part(file, "links", "ZV1").update(cv=20.5), ("ZV1",)),
        (lambda file: part(file, "links", "MAIN").update(length="30.0 m"), ("MAIN",)),
        (lambda file: part(file, "zones", "4").update(box="box 2"), ("4",)),
        (lambda file: part(file, "controllers", "K1").update(stations=6), ("K1",)),
    ],
)
def test_only_what_changed_is_named(owner, edit, changed):
    put(rich_file(), owner)
    file = edited(rich_file(), edit)
    stored = put(file, owner, now=SUMMER)
    assert (stored.changed, stored.retired, stored.version) == (changed, (), 2)
    assert site(owner, key=stored.key) == read(file)


def without_the_last_head(file):
    file["points"].remove(part(file, "points", "H6"))
    file["links"].remove(part(file, "links", "R6"))


def test_what_is_gone_is_retired_and_keeps_its_history(owner):
    put(rich_file(), owner)
    rows = rows_count()
    file = edited(rich_file(), without_the_last_head)
    stored = put(file, owner, now=SUMMER)
    assert stored.retired == ("H6", "R6")
    assert stored.changed == ()
    assert rows_count() == rows
    assert Point.objects.get(key="H6").retired_at == SUMMER
    assert [entry.retired_at for entry in Link.objects.get(key="R6").history.all()] == [
        SUMMER,
        None,
    ]
    assert site(owner, key=stored.key) == read(file)


def test_what_comes_back_is_the_same_part(owner):
    put(rich_file(), owner)
    pk = Point.objects.get(key="H6").pk
    put(edited(rich_file(), without_the_last_head), owner, now=SUMMER)
    stored = put(rich_file(), owner, now=AUTUMN)
    assert stored.changed == ("H6", "R6")
    back = Point.objects.get(key="H6")
    assert (back.pk, back.retired_at) == (pk, None)
    assert back.history.count() == 3
    assert site(owner, key=stored.key) == read(rich_file())


def test_a_part_in_front_changes_nothing_about_those_behind(owner):
    put(rich_file(), owner)
    entries = history_count()
    new = {"id": "NEW", "kind": "junction", "elevation": "0 ft"}
    link = {"id": "LN", "kind": "fitting", "from": "NEW", "to": "M1"}

    def edit(file):
        file["points"].insert(0, new)
        file["links"].insert(1, link)

    file = edited(rich_file(), edit)
    stored = put(file, owner, now=SUMMER)
    assert (stored.changed, stored.retired) == (("NEW", "LN"), ())
    assert history_count() == entries + 3
    assert site(owner, key=stored.key) == read(file)


def test_another_order_is_kept_as_a_new_version(owner):
    put(rich_file(), owner)
    entries = history_count()
    file = edited(rich_file(), lambda file: file["controllers"].reverse())
    stored = put(file, owner, now=SUMMER)
    assert (stored.changed, stored.retired, stored.version) == ((), (), 2)
    assert history_count() == entries + 1
    assert write_site(site(owner, key=stored.key)) == write_site(read(file))


@pytest.mark.parametrize(
    "step", ["follow_links", "apply_plan"], ids=["after the parts", "before the parts"]
)
def test_a_failure_in_the_middle_stores_nothing(owner, monkeypatch, step):
    put(rich_file(), owner)
    before = (rows_count(), history_count(), site_version(owner, key="example-lateral"))

    def fail(*_args, **_options):
        raise RuntimeError("power cut")

    def edit(file):
        without_the_last_head(file)
        part(file, "links", "B1").update(serial="B-200")
        file["name"] = "Half"

    with monkeypatch.context() as patch:
        patch.setattr(plan_module, step, fail)
        with pytest.raises(RuntimeError, match="power cut"):
            put(edited(rich_file(), edit), owner, now=SUMMER)
    after = (rows_count(), history_count(), site_version(owner, key="example-lateral"))
    assert after == before
    assert site(owner, key="example-lateral") == read(rich_file())
    # The same change goes through when nothing fails.
    assert put(edited(rich_file(), edit), owner, now=SUMMER).version == 2


def test_a_site_that_does_not_hold_together_is_refused_with_all_its_faults(owner):
    whole = read(rich_file())
    broken = replace(whole, points=whole.points[1:-1])  # SUP and J9 are missing
    assert len(checks.check_site(broken)) >= 2
    with pytest.raises(Faults) as refusal:
        store_site(broken, account=owner, now=SPRING)
    assert refusal.value.faults == checks.check_site(broken)
    assert rows_count() == 0


def test_a_name_that_no_database_can_keep_is_a_sentence(owner):
    value = replace(read(card_file()), name="nul \x00")
    with pytest.raises(ServiceError, match="name holds a character that cannot"):
        store_site(value, account=owner, now=SPRING)
    assert rows_count() == 0


def test_a_stranger_neither_sees_nor_changes_a_site(owner, stranger):
    put(rich_file(), owner)
    for ask in (
        lambda: site(stranger, key="example-lateral"),
        lambda: site_version(stranger, key="example-lateral"),
        lambda: retire_site(stranger, key="example-lateral", now=SUMMER),
        lambda: restore_site(stranger, key="example-lateral", now=SUMMER),
    ):
        with pytest.raises(NotFoundError, match='no site "example-lateral" here'):
            ask()
    theirs = edited(rich_file(), lambda file: file.update(name="Theirs"))
    assert put(theirs, stranger).created
    assert site(owner, key="example-lateral") == read(rich_file())
    assert site(stranger, key="example-lateral").name == "Theirs"


def test_a_site_is_retired_and_restored_with_its_history(owner):
    put(rich_file(), owner)
    retire_site(owner, key="example-lateral", now=SUMMER, actor="Kim")
    retire_site(owner, key="example-lateral", now=AUTUMN)
    row = SiteRow.objects.get()
    assert (row.retired_at, row.version) == (SUMMER, 2)
    assert site(owner, key="example-lateral") == read(rich_file())
    restore_site(owner, key="example-lateral", now=AUTUMN)
    row.refresh_from_db()
    assert (row.retired_at, row.version) == (None, 3)
    assert [entry.actor for entry in row.history.all()] == ["", "Kim", ""]


def test_storing_a_retired_site_restores_it(owner):
    put(rich_file(), owner)
    retire_site(owner, key="example-lateral", now=SUMMER)
    stored = put(rich_file(), owner, now=AUTUMN)
    assert (stored.created, stored.changed) == (False, ("example-lateral",))
    assert SiteRow.objects.get().retired_at is None


def test_an_id_may_stand_again_at_another_part(owner):
    """A person who turns a junction into a drain keeps its id and its history."""
    put(rich_file(), owner)
    pk = Point.objects.get(key="J9").pk
    file = edited(
        rich_file(),
        lambda file: part(file, "points", "J9").update(kind="drain", drain="manual"),
    )
    assert put(file, owner, now=SUMMER).changed == ("J9",)
    row = Point.objects.get(key="J9")
    assert (row.pk, row.kind) == (pk, "drain")

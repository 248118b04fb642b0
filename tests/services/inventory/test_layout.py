"""A quick zone is laid out part by part, and its figures stay what they were."""

import pytest

from maintenance.engine.errors import EngineError
from maintenance.engine.site import Pipe
from maintenance.engine.site.record import to_record
from maintenance.exchange.demonstration import read_demonstration
from maintenance.exchange.site_file import read_site, write_site
from maintenance.services.blowout import sheets
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.layout import lay_out_zone, take_layout_back
from maintenance.services.inventory.queries import site, site_history, site_version
from maintenance.services.inventory.store import store_compressor, store_site
from tests.services.inventory.files import AUTUMN, SPRING, SUMMER, read, rich_file

KEY = "example-lateral"


@pytest.fixture
def kept(owner):
    store_site(read(rich_file()), account=owner, now=SPRING)
    return owner


def lay_out(account, zone="4", **options):
    return lay_out_zone(account, key=KEY, zone=zone, now=SUMMER, **options)


def test_the_zone_becomes_a_valve_pipes_and_heads(kept):
    quick = site(kept, key=KEY).zones[1].quick
    assert quick is not None
    done = lay_out(kept, version=1)
    value = site(kept, key=KEY)
    zone = value.zones[1]
    assert (zone.quick, zone.valve, zone.name) == (None, "4.v", "Quick")
    heads = [point for point in value.points if point.id.startswith("4.h")]
    pipes = [
        link
        for link in value.links
        if isinstance(link, Pipe) and link.id.startswith("4.p")
    ]
    assert (len(heads), len(pipes)) == (quick.heads, quick.heads)
    assert {pipe.length.origin for pipe in pipes} == {"assumed"}
    assert done.stored.version == site_version(kept, key=KEY) == 2
    assert done.before.quick == quick
    assert "4.h1" in done.stored.changed
    assert done.stored.retired == ()


def test_the_file_of_a_zone_laid_out_reads_as_the_same_site(kept):
    lay_out(kept)
    value = site(kept, key=KEY)
    assert read_site(write_site(value)) == value


@pytest.mark.parametrize("zone", ["6", "4", "1"])
def test_the_rows_of_the_sheet_are_the_same_before_and_after(owner, zone):
    files = read_demonstration()
    value = next(each for each in files.sites if each.id == "crook-lane-22")
    store_site(value, account=owner, now=SPRING)
    for machine in files.compressors:
        store_compressor(machine, account=owner, now=SPRING)
    key, machines = "crook-lane-22", ["yard-25", "pancake-6"]
    before = sheets(owner, site_key=key, compressor_keys=machines)
    lay_out_zone(owner, key=key, zone=zone, now=SUMMER)
    after = sheets(owner, site_key=key, compressor_keys=machines)
    assert [each.rows for each in after] == [each.rows for each in before]
    assert [each.answer for each in after] == [each.answer for each in before]


def test_the_history_tells_what_became_of_the_straight_run(kept):
    lay_out(kept, actor="Kim")
    lines = [line for line in site_history(kept, key=KEY) if line.when == SUMMER]
    told = {line.part: line for line in lines}
    assert told["4"].what == "changed"
    assert "quick.length 180 ft taken out" in told["4"].text
    assert "valve 4.v put in" in told["4"].text
    assert {told[part].what for part in ("4.v", "4.s", "4.h7", "4.p7")} == {"added"}
    assert {line.actor for line in lines} == {"Kim"}


def test_a_stale_version_is_refused_and_nothing_is_laid_out(kept):
    store_site(read(rich_file() | {"name": "Theirs"}), account=kept, now=SPRING)
    with pytest.raises(ConflictError, match="changed by someone else"):
        lay_out(kept, version=1)
    assert site(kept, key=KEY).zones[1].quick is not None


@pytest.mark.parametrize(
    ("zone", "refusal", "sentence"),
    [
        ("1", ServiceError, "Zone 1 is laid out already"),
        ("99", NotFoundError, 'There is no zone "99"'),
    ],
)
def test_what_cannot_be_laid_out_is_a_sentence(
    kept, zone: str, refusal: type[EngineError], sentence: str
):
    with pytest.raises(refusal, match=sentence):
        lay_out(kept, zone=zone)
    assert site_version(kept, key=KEY) == 1


def test_a_strangers_zone_is_not_there(kept, stranger):
    with pytest.raises(NotFoundError):
        lay_out(stranger)
    done = lay_out(kept)
    with pytest.raises(NotFoundError):
        take_layout_back(
            stranger,
            key=KEY,
            before=done.before,
            now=AUTUMN,
            version=done.stored.version,
        )


def test_it_is_taken_back_whole_and_can_be_done_again(kept):
    before = site(kept, key=KEY)
    done = lay_out(kept)
    back = take_layout_back(
        kept, key=KEY, before=done.before, now=AUTUMN, version=done.stored.version
    )
    assert to_record(site(kept, key=KEY)) == to_record(before)
    assert {"4.v", "4.h1"} <= set(back.retired)
    again = lay_out(kept)
    assert "4.h1" in again.stored.changed


def test_it_is_not_taken_back_over_a_later_change(kept):
    done = lay_out(kept)
    changed = read_site(write_site(site(kept, key=KEY)).replace("Quick", "Slow"))
    store_site(changed, account=kept, now=AUTUMN)
    with pytest.raises(ConflictError):
        take_layout_back(
            kept, key=KEY, before=done.before, now=AUTUMN, version=done.stored.version
        )
    assert site(kept, key=KEY).zones[1].valve == "4.v"

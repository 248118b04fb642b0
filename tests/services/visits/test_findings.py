"""What was found stays open until somebody closes it with a word."""

from io import BytesIO

import pytest
from PIL import Image

from maintenance.models import Finding, Visit
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.visits.carry_out import end_visit, start_visit
from maintenance.services.visits.findings import (
    FindingTold,
    change_finding,
    close_finding,
    note_finding,
    plan_follow_up,
)
from maintenance.services.visits.one_visit import open_findings, whole_visit
from maintenance.services.visits.photos import (
    add_visit_photo,
    open_visit_photo,
    set_visit_photo_removed,
)
from maintenance.services.visits.plan import VisitPlan
from tests.services.visits.kept import MORNING, NOON, TODAY, begun, picture

BROKEN = FindingTold(what="Head broken off", about="zone 1", due_on=TODAY)
REPAIR = VisitPlan(kind="repair", planned_on=TODAY, worker="Ben")


@pytest.fixture
def visit(owner, site):
    return begun(owner, site)


@pytest.fixture
def finding(owner, visit):
    return note_finding(owner, visit_id=visit, told=BROKEN, now=NOON, actor="Ann")


def follow(owner, finding, version=1):
    return plan_follow_up(
        owner,
        finding_id=finding,
        version=version,
        plan=REPAIR,
        now=NOON,
        actor="office",
    )


def test_a_finding_becomes_a_visit_in_one_step_and_is_open_until_closed(
    owner, visit, finding
):
    next_visit = follow(owner, finding)
    assert Visit.objects.get(pk=next_visit).site_id == (
        Visit.objects.get(pk=visit).site_id
    )
    start_visit(owner, visit_id=next_visit, version=1, now=NOON, actor="Ben")
    end_visit(
        owner, visit_id=next_visit, version=2, outcome="done", now=NOON, actor="Ben"
    )
    assert [each.pk for each in open_findings(owner)] == [finding]
    assert [f.pk for f in whole_visit(owner, visit_id=next_visit).follows] == [finding]

    def close(word):
        close_finding(
            owner, finding_id=finding, version=2, word=word, now=NOON, actor="Ben"
        )

    with pytest.raises(ServiceError, match="closed with a word"):
        close(" ")
    close("New head.")
    row = Finding.objects.get(pk=finding)
    assert (row.closed_by, row.closed_as) == ("Ben", "New head.")
    assert open_findings(owner) == []


def test_a_second_follow_up_waits_for_the_first_to_end(owner, finding):
    follow(owner, finding)
    with pytest.raises(ServiceError, match="planned already"):
        follow(owner, finding, version=2)
    assert Visit.objects.filter(worker="Ben").count() == 1


def test_an_old_version_changes_closes_and_follows_nothing(owner, finding):
    other = FindingTold(what="Two heads broken off")
    change_finding(
        owner, finding_id=finding, version=1, told=other, now=NOON, actor="a"
    )
    with pytest.raises(ConflictError):
        change_finding(
            owner, finding_id=finding, version=1, told=BROKEN, now=NOON, actor="b"
        )
    with pytest.raises(ConflictError):
        follow(owner, finding, version=1)
    with pytest.raises(ConflictError):
        close_finding(
            owner, finding_id=finding, version=1, word="x", now=NOON, actor="b"
        )
    row = Finding.objects.get(pk=finding)
    assert (row.what, row.follow_up_id, row.closed_at) == (other.what, None, None)


def test_one_is_noted_at_a_site_without_a_visit_and_sent_twice_is_noted_once(
    owner, site, finding, visit
):
    told = FindingTold(what="Box lid missing")
    alone = note_finding(owner, site_key=site, told=told, now=NOON, actor="Ann")
    again = note_finding(owner, visit_id=visit, told=BROKEN, now=NOON, actor="Ann")
    assert again == finding
    assert [each.pk for each in open_findings(owner)] == [finding, alone]
    here = whole_visit(owner, visit_id=visit)
    assert ([f.pk for f in here.findings], [f.pk for f in here.open_here]) == (
        [finding],
        [alone],
    )
    with pytest.raises(ServiceError, match="what was found"):
        note_finding(
            owner, visit_id=visit, told=FindingTold(what=""), now=NOON, actor="Ann"
        )


def test_a_stranger_reaches_no_finding_and_no_photo(owner, stranger, visit, finding):
    photo = add_visit_photo(
        owner, visit_id=visit, picture=picture(), now=NOON, actor="Ann"
    )
    with pytest.raises(NotFoundError):
        follow(stranger, finding)
    with pytest.raises(NotFoundError):
        open_visit_photo(stranger, visit_id=visit, photo_id=photo)
    assert open_findings(stranger) == []


def test_a_photo_is_drawn_anew_and_can_be_taken_out(owner, visit, settings, tmp_path):
    settings.DATA_DIR = tmp_path
    sent = BytesIO()
    exif = Image.Exif()
    exif[0x010E] = "gate code 12"
    Image.new("RGB", (40, 30), "grey").save(sent, "JPEG", exif=exif)
    sent.seek(0)
    assert b"gate code" in sent.getvalue()
    photo = add_visit_photo(
        owner, visit_id=visit, picture=sent, caption=" Box ", now=NOON, actor="Ann"
    )
    with open_visit_photo(owner, visit_id=visit, photo_id=photo) as file:
        assert b"gate code" not in file.read()
    assert [p.caption for p in whole_visit(owner, visit_id=visit).photos] == ["Box"]
    set_visit_photo_removed(
        owner, visit_id=visit, photo_id=photo, removed=True, now=NOON, actor="Ann"
    )
    with pytest.raises(NotFoundError):
        open_visit_photo(owner, visit_id=visit, photo_id=photo)
    with pytest.raises(ServiceError, match="no JPEG"):
        add_visit_photo(
            owner, visit_id=visit, picture=BytesIO(b"x"), now=MORNING, actor="Ann"
        )
    assert len(list((tmp_path / "photos").iterdir())) == 1

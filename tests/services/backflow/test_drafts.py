"""A test is begun, saved as typed, dropped, taken up again; nothing is lost unseen."""

import pytest

from maintenance.models import Device, TestDraft
from maintenance.services.backflow.drafts import (
    Typed,
    answers_of,
    begin_correction,
    begin_test,
    drop_draft,
    get_draft,
    save_draft,
    take_up_draft,
)
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.store import retire_site
from tests.services.backflow.field_tests import (
    LATER,
    MORNING,
    SITE,
    begun,
    readings,
    signed,
    typed,
)


def save(account, draft_id, version, answers, **where):
    return save_draft(
        account,
        draft_id=draft_id,
        version=version,
        typed=Typed(answers, **where),
        now=MORNING,
        actor="Ada",
    )


def test_a_draft_begins_with_the_day_and_time_at_the_site_and_the_kit(office):
    draft = get_draft(office, begun(office))
    assert answers_of(draft) == {"tested_on": "2026-04-15", "tested_at": "08:20"}
    assert str(draft.tester) == "Ada Finch"
    assert str(draft.gauge) == "Fivegate G-552"


def test_the_next_draft_takes_over_what_hardly_changes(office):
    told = readings("RP") | {"owner_name": "P. Quill", "meter_number": "M-1"}
    signed(office, answers=told)
    again = answers_of(get_draft(office, begun(office, now=LATER)))
    assert (again["owner_name"], again["meter_number"]) == ("P. Quill", "M-1")
    other = answers_of(get_draft(office, begun(office, "B2", now=LATER)))
    assert other["owner_name"] == "P. Quill"
    assert "meter_number" not in other, "that is the other assembly's"
    assert "initial_check_1" not in again


def test_beginning_twice_goes_on_with_the_one_draft(office):
    assert begun(office) == begun(office, now=LATER)


def test_what_is_typed_is_kept_as_typed_even_if_it_cannot_be_read(office):
    draft_id = begun(office)
    typed(office, draft_id, {"initial_check_1": "5,1 or so", "tested_on": "soon"})
    kept = answers_of(get_draft(office, draft_id))
    assert kept["initial_check_1"] == "5,1 or so"
    assert kept["tested_on"] == "soon"


def test_unknown_keys_and_empty_texts_are_not_kept(office):
    draft_id = begun(office)
    save(office, draft_id, 1, {"initial_check_1": " ", "who": "x", "comments": "a "})
    assert answers_of(get_draft(office, draft_id)) == {"comments": "a"}


def test_a_text_too_long_to_keep_is_refused(office):
    with pytest.raises(ServiceError, match="at most 2000"):
        save(office, begun(office), 1, {"comments": "x" * 2001})


def test_a_save_on_an_older_version_is_told_and_overwrites_nothing(office):
    draft_id = begun(office)
    save(office, draft_id, 1, {"initial_check_1": "5.0"})
    with pytest.raises(ConflictError, match="nothing of theirs was overwritten"):
        save(office, draft_id, 1, {"initial_check_1": "6.0"})
    assert answers_of(get_draft(office, draft_id))["initial_check_1"] == "5.0"


def test_the_same_content_again_is_no_conflict(office):
    draft_id = begun(office)
    first = save(office, draft_id, 1, {"initial_check_1": "5.0"})
    assert save(office, draft_id, 1, {"initial_check_1": "5.0"}) == first


def test_a_page_may_overtake_itself_but_an_older_answer_of_it_is_let_go(office):
    draft_id = begun(office)
    save(office, draft_id, 1, {"initial_check_1": "5"}, seat="a", count=1)
    save(office, draft_id, 1, {"initial_check_1": "5.1"}, seat="a", count=3)
    save(office, draft_id, 1, {"initial_check_1": "5."}, seat="a", count=2)
    assert answers_of(get_draft(office, draft_id))["initial_check_1"] == "5.1"
    with pytest.raises(ConflictError):
        save(office, draft_id, 1, {"initial_check_1": "9"}, seat="b", count=9)


def test_a_draft_is_dropped_and_taken_up_again_with_what_was_typed(office):
    draft_id = begun(office)
    typed(office, draft_id, {"initial_check_1": "5.0"})
    drop_draft(office, draft_id=draft_id, now=MORNING, actor="Ada")
    drop_draft(office, draft_id=draft_id, now=MORNING, actor="Ada")
    with pytest.raises(ConflictError, match="was dropped"):
        save(office, draft_id, 3, {"initial_check_1": "6.0"})
    take_up_draft(office, draft_id=draft_id, now=LATER, actor="Bo")
    assert answers_of(get_draft(office, draft_id))["initial_check_1"] == "5.0"


def test_a_dropped_draft_is_not_taken_up_beside_an_open_one(office):
    first = begun(office)
    drop_draft(office, draft_id=first, now=MORNING, actor="Ada")
    assert begun(office) != first
    with pytest.raises(ConflictError, match="sign or drop"):
        take_up_draft(office, draft_id=first, now=LATER, actor="Bo")


def test_a_signed_draft_is_neither_saved_nor_dropped(office):
    record = signed(office)
    with pytest.raises(ConflictError, match="signed by Ada"):
        save(office, record.pk, 9, {"comments": "more"})
    with pytest.raises(ConflictError, match="signed by Ada"):
        drop_draft(office, draft_id=record.pk, now=LATER, actor="Bo")


def test_no_correction_is_begun_beside_an_open_draft(office):
    record = signed(office)
    begun(office, now=LATER)
    with pytest.raises(ConflictError, match="sign or drop"):
        begin_correction(office, record_id=record.pk, now=LATER, actor="Ada")


def test_only_one_s_own_assemblies_and_kit_are_found(office, stranger):
    with pytest.raises(NotFoundError):
        begin_test(stranger, site_key=SITE, link="B1", now=MORNING, actor="X")
    draft_id = begun(office)
    for deed in (
        get_draft,
        lambda a, d: drop_draft(a, draft_id=d, now=LATER, actor=""),
    ):
        with pytest.raises(NotFoundError):
            deed(stranger, draft_id)
    with pytest.raises(NotFoundError, match="no such tester"):
        save(office, draft_id, 1, {}, tester_id=987654)


def test_no_test_is_begun_where_none_can_be(office):
    with pytest.raises(NotFoundError):
        begin_test(office, site_key=SITE, link="J1", now=MORNING, actor="Ada")
    Device.objects.filter(link__key="B1").update(kind="odd")
    with pytest.raises(ServiceError, match="No field test is known"):
        begun(office)
    retire_site(office, key=SITE, now=MORNING, actor="Ada")
    with pytest.raises(ServiceError, match="is retired"):
        begun(office, "B2")
    assert not TestDraft.objects.exists()


def test_saving_takes_a_bounded_number_of_queries(
    office, django_assert_max_num_queries
):
    draft = get_draft(office, begun(office))
    with django_assert_max_num_queries(8):
        save_draft(
            office,
            draft_id=draft.pk,
            version=1,
            typed=Typed(readings("RP"), draft.tester_id, draft.gauge_id),
            now=MORNING,
            actor="Ada",
        )

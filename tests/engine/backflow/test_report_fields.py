"""The report: every field of the public forms once, in the order that is wanted."""

import pytest
from hypothesis import given, strategies as st

from maintenance.engine.backflow.readings import READING_KEYS
from maintenance.engine.backflow.report_fields import (
    GROUPS,
    REPORT_FIELDS,
    SOURCES,
    TAG_KEYS,
    in_order,
)
from maintenance.engine.errors import InputError

KEYS = [field.key for field in REPORT_FIELDS]

# What the form of Iowa City, 9/02, prints, read for these tests.
IOWA = """account_number service_address device_location tested_on tested_at
supply_pressure supply_diameter gap device manufacturer model size serial
height_off_floor protected_from_freezing protected_from_flooding installation
gauge_calibrated_on check_1 relief check_2 check_2_held buffer check_1_held air_inlet
fully_open comments repair_description owner_signature owner_signed_on tester_name
tester_signature tester_certificate tester_signed_on"""
# WAC 246-292-036 (2) to (4), read for these tests.
WASHINGTON = """facility_name service_address owner_name owner_contact
downstream_hazard device_location device manufacturer model serial size
on_approved_list installation replaced_serial orientation_proper properly_installed
relief_air_gap"""
# New York State DOH-1013, as the reference note lists it.
NEW_YORK = """county block lot test_year meter_number meter_reading service_type bypasses
initial_result final_result repair_materials repaired_by repairer_licence repaired_on
tester_certificate_ends"""


@pytest.mark.parametrize("form", [IOWA, WASHINGTON, NEW_YORK])
def test_every_field_of_a_public_form_is_there(form):
    for key in form.split():
        assert key in KEYS or {f"initial_{key}", f"final_{key}"} <= set(KEYS), key


def test_every_reading_is_kept_before_and_after_the_repair():
    for key in {key for keys in READING_KEYS.values() for key in keys}:
        twice = {f"initial_{key}", f"final_{key}"} <= set(KEYS)
        assert twice or key in ("properly_installed", "relief_air_gap")
        assert key in KEYS or twice


def test_each_field_stands_once_with_words_and_where_it_was_seen():
    assert len(set(KEYS)) == len(KEYS)
    assert len({(field.group, field.words) for field in REPORT_FIELDS}) == len(KEYS)
    assert [g for g in GROUPS if any(f.group == g for f in REPORT_FIELDS)] == [*SOURCES]
    assert all(field.sources and field.words for field in REPORT_FIELDS)


def test_the_tag_shows_fields_of_the_report():
    assert set(TAG_KEYS) <= set(KEYS)


def test_without_an_order_ours_holds():
    assert in_order() == REPORT_FIELDS


@given(st.lists(st.sampled_from(KEYS), unique=True))
def test_an_order_comes_first_and_the_missing_ones_follow_in_ours(order):
    keys = [field.key for field in in_order(order)]
    assert keys[: len(order)] == order
    assert keys[len(order) :] == [key for key in KEYS if key not in order]


def test_a_key_that_is_not_there_or_twice_is_refused():
    with pytest.raises(InputError, match="did you mean serial") as caught:
        in_order(("serail",))
    assert caught.value.input == "order"
    with pytest.raises(InputError, match="twice"):
        in_order(("serial", "size", "serial"))


def test_no_field_vouches_for_a_device():
    text = " ".join(field.words for field in REPORT_FIELDS).lower()
    assert not any(word in text for word in ("complian", "certified", "safe"))

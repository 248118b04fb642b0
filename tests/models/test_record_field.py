"""A record leaves the database as it came, key by key, on both databases."""

import pytest
from django.core.exceptions import ValidationError
from hypothesis import HealthCheck, given, settings, strategies as st

from maintenance.models import Account, Compressor
from maintenance.models.fields import record_text, refuse_unstorable

VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**18), 10**18)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(codec=None, exclude_categories=()), max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=8,
)


def kept(record, account):
    row = Compressor.objects.create(
        account=account,
        key="k",
        free_air_m3_per_s=0,
        receiver_m3=0,
        record=record,
    )
    row.refresh_from_db()
    row.delete()
    return row.record


@pytest.fixture
def account(db):
    return Account.objects.create(key="a", name="A")


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(record=st.dictionaries(st.text(max_size=5), VALUES, max_size=4))
def test_any_json_object_comes_back_the_same(record, account):
    assert record_text(kept(record, account)) == record_text(record)


@pytest.mark.parametrize(
    "record",
    [
        {"b": 1, "a": 2},
        {"at": [-0.0, 1e22]},
        {"cv": 20, "duty": 20.0},
        {"note": "nul \x00 and half \ud800"},
    ],
)
def test_order_and_spelling_of_numbers_and_texts_stay(record, account):
    assert record_text(kept(record, account)) == record_text(record)


def test_a_number_that_is_none_is_never_kept():
    with pytest.raises(ValueError, match="JSON compliant"):
        record_text({"a": float("nan")})


@pytest.mark.parametrize("text", ["a\x00b", "\ud800"])
def test_an_id_that_a_database_cannot_keep_is_refused(text):
    with pytest.raises(ValidationError, match="cannot be stored"):
        refuse_unstorable(text)


def test_any_other_id_is_let_through():
    refuse_unstorable("Ĝ 4.h1 “x” 🌱")

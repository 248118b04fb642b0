"""Criteria: versioned rows, refused by line, the same again when written."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from maintenance.engine.backflow.criteria import (
    COLUMNS,
    DEFAULT_CRITERIA,
    criteria_csv,
    find_criteria,
    read_criteria,
    shipped_criteria,
)
from maintenance.engine.backflow.limits import Limit
from maintenance.engine.backflow.readings import DEVICES
from maintenance.engine.errors import InputError

FORM = find_criteria(DEFAULT_CRITERIA)
HEAD = ",".join(COLUMNS)
ROW = "a,p,1,s,2026-01-01,DC,check_1,at least,1.0,psid,required,x"


def test_the_shipped_limits_are_those_printed_on_the_form():
    printed = {
        ("RP", "check_1"): "5.0",
        ("RP", "relief"): "2.0",
        ("RP", "check_2"): "1.0",
        ("RP", "buffer"): "3.0",
        ("DC", "check_1"): "1.0",
        ("DC", "check_2"): "1.0",
        ("PVB", "air_inlet"): "1.0",
        ("PVB", "check_1"): "1.0",
        ("SVB", "check_1"): "1.0",
        ("SVB", "air_inlet"): "1.0",
    }
    shipped = {
        (limit.device, limit.key): str(limit.value)
        for limit in FORM.limits
        if limit.unit == "psid"
    }
    assert shipped == printed
    uses = {(limit.device, limit.key): limit.use for limit in FORM.limits}
    assert uses["RP", "check_2_held"] == uses["SVB", "fully_open"] == "required"
    assert uses["DC", "check_1_held"] == uses["DC", "check_2_held"] == "optional"


def test_each_set_names_procedure_edition_source_and_date_and_each_limit_a_source():
    for criteria in shipped_criteria():
        assert all((criteria.id, criteria.procedure, criteria.edition, criteria.source))
        assert date(2026, 1, 1) < criteria.checked
        assert all(limit.source for limit in criteria.limits)
        assert all(criteria.of(device) for device in DEVICES)


def test_sets_come_back_the_same_from_their_file():
    other = replace(FORM, id="own", edition='10, "as amended"', limits=FORM.of("RP"))
    sets = (*shipped_criteria(), other)
    assert read_criteria(criteria_csv(sets)) == sets


def test_a_set_that_is_not_there_is_refused_with_those_that_are():
    with pytest.raises(InputError, match=DEFAULT_CRITERIA) as caught:
        find_criteria("tenth")
    assert caught.value.input == "criteria"


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("DC", "XX", "RP, DC"),
        ("check_1", "relief", "no such reading"),
        ("check_1", "buffer", "no such reading"),
        ("at least", "at most", "at least a value in psid"),
        ("psid", "kPa", "at least a value in psid"),
        ("1.0", "", "number of 0 or more"),
        ("1.0", "-1.0", "number of 0 or more"),
        ("1.0", "NaN", "number of 0 or more"),
        ("1.0", "one", "no number"),
        ("required", "maybe", "required, optional, not used"),
        ("2026-01-01", "1 Jan", "2026-11-25"),
        (",p,", ",,", "procedure"),
        (",x", "", "12 columns"),
        (",x", ",x,y", "12 columns"),
        ("check_1,at least,1.0,psid", "check_1_held,yes,1.0,", "takes no value"),
        ("check_1,at least,1.0,psid", "check_1_held,at least,1.0,psid", "asks yes"),
        ("DC,check_1,at least,1.0,psid", "AG,gap,at least,1.0,psid", "times"),
        ("DC,check_1,at least,1.0,psid", "AG,supply_diameter,times,1,", "no such"),
    ],
)
def test_a_row_that_cannot_judge_is_refused_by_line(old, new, says):
    good = f"{HEAD}\n{ROW.replace('check_1', 'check_2')}\n{ROW}\n"
    assert len(read_criteria(good)[0].limits) == 2
    with pytest.raises(InputError, match=says) as caught:
        read_criteria(f"{HEAD}\n{ROW.replace('check_1', 'check_2')}\n{ROW.replace(old, new)}\n")  # fmt: skip
    assert str(caught.value).startswith("line 3: ")
    assert caught.value.input == "criteria"


def test_the_first_line_has_to_name_the_columns():
    with pytest.raises(InputError, match="first line"):
        read_criteria(ROW)


def test_a_limit_stands_once_in_a_set_and_an_id_for_one_edition():
    with pytest.raises(InputError, match="twice"):
        read_criteria(f"{HEAD}\n{ROW}\n{ROW}\n")
    with pytest.raises(InputError, match="one id"):
        read_criteria(f"{HEAD}\n{ROW}\n{ROW.replace(',1,s', ',2,s')}\n")


def test_limits_made_in_code_are_held_to_the_same():
    wrong = Limit(device="DC", key="check_1", asks="yes", value=Decimal(1))
    with pytest.raises(InputError, match="DC check_1"):
        replace(FORM, limits=(wrong,))

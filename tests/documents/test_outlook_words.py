"""The words of an outlook: levels, the advice with its reason, one's own units."""

from dataclasses import replace
from datetime import date

import pytest

from maintenance.documents.outlook_units import in_units
from maintenance.documents.outlook_words import (
    LEVELS,
    answer_words,
    level_words,
    part_level,
    site_level,
    spring_answer,
)
from maintenance.engine.climate.outlook import Act, Advice
from maintenance.engine.climate.site_outlook import SiteOutlook, site_outlook
from maintenance.engine.climate.spring_start import Condition, SpringStart
from tests.fixtures.demo import larkmoor
from tests.web.freeze_sites import NOW, TO_THE_COLD_NIGHT, forecast

OCTOBER = date(2026, 10, 5)


def outlook(**keys: object) -> SiteOutlook:
    return site_outlook(larkmoor(), NOW, OCTOBER, **keys)  # type: ignore[arg-type]


def test_each_level_has_a_word_and_a_mark_of_its_own() -> None:
    told = [level_words(level) for level in range(5)]
    assert [each.word for each in told] == list(LEVELS)
    assert len({each.mark for each in told} | {"unknown"}) == 6


def test_where_nothing_is_known_it_is_not_called_calm() -> None:
    bare = outlook()
    assert site_level(bare).word == "not known"
    assert {part_level(each).word for each in bare.parts} == {"not known"}
    buried = [e for e in outlook(forecast=forecast()).parts if e.chances is None]
    assert buried
    assert {part_level(each).word for each in buried} == {"not known"}


def test_the_advice_begins_with_the_deed_and_ends_with_the_engines_reason() -> None:
    found = outlook(forecast=forecast())
    assert found.advice.act == "shut_down"
    text = answer_words(found, "us")
    assert text == f"Shut the site down by Wed 7 Oct 2026. {found.advice.reason}"
    cold = outlook(forecast=forecast(skip=TO_THE_COLD_NIGHT))
    assert answer_words(cold, "us").startswith("Drain or cover what stands out")
    assert answer_words(cold, "us").endswith(cold.advice.reason)


@pytest.mark.parametrize(
    ("act", "by", "begins"),
    [
        (
            "wait",
            date(2026, 10, 18),
            "Wait, and shut the site down by Sun 18 Oct 2026.",
        ),
        ("wait", None, "Wait."),
        ("none", None, "There is no advice."),
    ],
)
def test_every_deed_has_a_sentence(act: Act, by: date | None, begins: str) -> None:
    found = replace(outlook(), advice=Advice(by, act, "Because."))
    assert answer_words(found, "us") == f"{begins} Because."


def test_in_spring_the_day_to_fill_is_told_with_what_decides_it() -> None:
    day = date(2027, 5, 14)
    late = SpringStart(
        earliest=day,
        conditions=(
            Condition("last_freeze", False, day, ""),
            Condition("soil", True, date(2027, 4, 1), ""),
            Condition("forecast", None, None, ""),
        ),
    )
    assert spring_answer(late) == (
        "Do not fill before Fri 14 May 2027. It is the day that the last freezes of past "
        "springs ask for."
    )
    unknown = SpringStart(
        earliest=None, conditions=(Condition("soil", None, None, ""),)
    )
    assert "the soil at the pipes too little is known" in spring_answer(unknown)


@pytest.mark.parametrize(
    ("us", "si"),
    [
        ("at or below 28 °F comes", "at or below -2 °C comes"),
        ("counts as 1.8 °F colder.", "counts as 1.0 °C colder."),
        ("counts as 1.8 °F too warm", "counts as 1.0 °C too warm"),
        ("the soil at 8 in by the rest", "the soil at 20 cm by the rest"),
        ("lies 1,204 ft below", "lies 367.0 m below"),
        ("Brass, bore 1.5 in (nominal)", "Brass, bore 1.5 in (nominal)"),
        ("came in 3 in 30 winters", "came in 3 in 30 winters"),
        ("in 5 h and in 12 days", "in 5 h and in 12 days"),
        ("3 ft/s is assumed", "0.91 m/s is assumed"),
        ("rounded to whole °F", "rounded to whole °F"),
    ],
)
def test_quantities_in_sentences_are_written_in_ones_own_units(
    us: str, si: str
) -> None:
    assert in_units(us, "us") == us
    assert in_units(us, "si") == si

"""The odds by date: the laws as drawn, their marks, and no word upon another."""

import random
from datetime import date

import pytest

from maintenance.documents.drawing.odds import odds_svg
from maintenance.documents.drawing.odds_lines import (
    LAST_DAY,
    Odds,
    OddsLine,
    marks_of,
    points_of,
)
from maintenance.documents.drawing.sheet import LAYERS
from maintenance.engine.climate.mixed_law import MixedLaw
from tests.documents.drawing.checks import SVG, hold_rules, marks

# Champion, Nebraska, 1982-2017, first night at or below 28 °F: published with this
# project's reference (36 seasons, mean 67.06, deviation 8.50).
CHAMPION = MixedLaw(36, 36, 67.06, 8.50)


def line(law: MixedLaw = CHAMPION, letter: str = "A", name: str = "") -> OddsLine:
    return OddsLine(
        letter=letter,
        name=name or "small bare parts above ground (7)",
        short="small, bare",
        law=law,
    )


def odds(*lines: OddsLine, today: date = date(2026, 10, 5)) -> Odds:
    return Odds(begin=date(2026, 8, 1), today=today, lines=lines or (line(),))


def four() -> Odds:
    laws = (
        CHAMPION,
        MixedLaw(30, 30, 106.0, 13.0),
        MixedLaw(30, 30, 134.9, 18.2),
        MixedLaw(30, 22, 155.0, 20.0),
    )
    return odds(*(line(law, letter) for law, letter in zip(laws, "ABCD", strict=True)))


def test_the_marks_are_the_published_dates_of_champion() -> None:
    drawing = odds_svg(odds())
    assert drawing.rows == (
        (
            "A",
            "small bare parts above ground (7)",
            "26 Sep 2026 ± 3 d",
            "7 Oct 2026 ± 2 d",
            "18 Oct 2026 ± 3 d",
            "36 of 36",
        ),
    )


def test_a_line_rises_to_the_share_of_winters_with_frost() -> None:
    law = MixedLaw(30, 22, 155.0, 20.0)
    chances = [point.chance for point in points_of(line(law))]
    assert chances == sorted(chances)
    assert chances[-1] == pytest.approx(0.99 * 22 / 30)
    assert [round(mark.chance, 1) for mark in marks_of(line(law))] == [0.1, 0.5]
    assert odds_svg(odds(line(law))).rows[0][4] == "not by then"


def test_the_error_is_the_published_one_of_a_quantile() -> None:
    # s·√((1 + z²/2)/n), s 12 d, n 30: 2.2 d at 50 %, 3.0 d at 10 % (reference 1.2).
    ten, fifty, ninety = marks_of(line(MixedLaw(30, 30, 71.0, 12.0)))
    assert ten.error == pytest.approx(2.96, abs=0.01)
    assert fifty.error == pytest.approx(2.19, abs=0.01)
    assert ninety.error == pytest.approx(2.96, abs=0.01)


def test_each_line_has_a_mark_a_band_and_a_label_at_its_end() -> None:
    drawing = odds_svg(four())
    root = hold_rules(drawing, "odds")
    assert {"A", "B", "C", "D", "today"} == set(marks(root))
    bands = [n for n in root.iter(f"{SVG}path") if n.get("class") == "drawing-band"]
    assert len(bands) == 4
    for layer in LAYERS:
        told = {label.mark for label in drawing.labels if label.layer == layer.name}
        assert {"A", "B", "C", "D", "today"} <= told
    dashes = [
        marks(root)[letter].find(f"{SVG}path").get("stroke-dasharray")  # type: ignore[union-attr]
        for letter in "ABCD"
    ]
    assert len(set(dashes)) == 4


@pytest.mark.parametrize(
    "today", [date(2026, 6, 2), date(2026, 12, 31), date(2027, 5, 30)]
)
def test_today_stands_within_the_drawing_all_year(today: date) -> None:
    drawing = odds_svg(odds(today=today))
    hold_rules(drawing, "odds")
    assert any(label.mark == "today" for label in drawing.labels)


@pytest.mark.parametrize("seed", range(30))
def test_no_word_lies_upon_another_and_each_letter_is_there(seed: int) -> None:
    chance = random.Random(seed)  # noqa: S311
    lines = []
    for letter in "ABCDEFG"[: chance.randint(1, 7)]:
        seasons = chance.randint(2, 40)
        law = MixedLaw(
            seasons,
            chance.randint(2, seasons),
            chance.uniform(-10.0, 260.0),
            chance.choice([0.0, chance.uniform(0.5, 45.0)]),
        )
        lines.append(line(law, letter, f"pipes {chance.randint(5, 40)} in under turf"))
    drawing = odds_svg(odds(*lines))
    hold_rules(drawing, "odds")
    for layer in LAYERS:
        told = {label.mark for label in drawing.labels if label.layer == layer.name}
        assert {each.letter for each in lines} <= told
    assert all(p.day <= LAST_DAY for each in lines for p in points_of(each))


def test_without_a_line_there_is_nothing_to_draw() -> None:
    with pytest.raises(ValueError, match="no line"):
        odds_svg(Odds(begin=date(2026, 8, 1), today=date(2026, 8, 1), lines=()))

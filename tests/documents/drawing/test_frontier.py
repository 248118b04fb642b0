"""The drawing of free air against tank: every step, no word upon another."""

import random

import pytest

from maintenance.documents.drawing.frontier import frontier_svg
from maintenance.engine.blowout.remedies import Frontier
from maintenance.engine.site import Compressor
from maintenance.engine.units import Quantity, UnitSystem
from tests.documents.drawing.checks import SVG, hold_rules, marks

GAL, CFM = 0.003785411784, 0.028316846592 / 60


def machine(tank_gal: float = 30.0, air_cfm: float = 25.0) -> Compressor:
    return Compressor(
        id="yard-25",
        free_air_delivery=Quantity(air_cfm * CFM, f"{air_cfm} cfm", "stated"),
        receiver=Quantity(tank_gal * GAL, f"{tank_gal} gal", "stated"),
    )


def steps(*airs_cfm: float | None) -> tuple[Frontier, ...]:
    tanks = (0.0, 30.0, 120.0)
    return tuple(
        Frontier(tank * GAL, None if air is None else air * CFM)
        for tank, air in zip(tanks, airs_cfm, strict=True)
    )


def test_each_step_and_the_compressor_have_a_mark_and_a_row():
    drawing = frontier_svg(steps(39.1, None, 1.02), machine(), system="us")
    root = hold_rules(drawing, "frontier")
    found = marks(root)
    assert set(found) == {"0.0 gal", "30.0 gal", "120.0 gal", "yard-25"}
    assert drawing.columns == ("What", "Tank, gal", "Free air, cfm")
    assert drawing.rows == (
        ("least that is enough", "0.0", "39.1"),
        ("least that is enough", "30.0", "none is enough with this hose"),
        # A need is rounded up.
        ("least that is enough", "120.0", "1.1"),
        ("yard-25, as recorded", "30.0", "25.0"),
    )
    texts = {label.text for label in drawing.labels}
    assert {"39.1 cfm", "1.1 cfm", "none is enough", "yard-25"} <= texts


def test_what_is_enough_runs_from_its_dot_upwards_and_more_air_lies_higher():
    root = hold_rules(
        frontier_svg(steps(40.0, 20.0, 10.0), machine(), system="us"), "frontier"
    )
    heights = []
    for tank in ("0.0 gal", "30.0 gal", "120.0 gal"):
        mark = marks(root)[tank]
        dot = mark.find(f"{SVG}circle")
        assert dot is not None
        stem = (mark.find(f"{SVG}path").get("d") or "").removeprefix("M").split("L")  # type: ignore[union-attr]
        assert stem[0] == f"{dot.get('cx')} {dot.get('cy')}"
        assert float(stem[1].split()[1]) < float(dot.get("cy", ""))
        heights.append(float(dot.get("cy", "")))
    assert heights == sorted(heights)


def test_the_units_are_those_of_the_browser():
    drawing = frontier_svg(steps(20.0, 10.0, 5.0), machine(), system="si")
    hold_rules(drawing, "frontier")
    assert drawing.columns == ("What", "Tank, L", "Free air, L/min")
    assert drawing.rows[1] == ("least that is enough", "113.6", "284")
    texts = " ".join(label.text for label in drawing.labels) + drawing.svg
    assert "cfm" not in texts
    assert "gal" not in texts


@pytest.mark.parametrize("system", ["us", "si"])
@pytest.mark.parametrize("seed", range(12))
def test_no_word_lies_upon_another_whatever_the_figures(seed: int, system: UnitSystem):
    chance = random.Random(seed)  # noqa: S311
    airs = [chance.choice([None, chance.uniform(0.1, 400.0)]) for _ in range(3)]
    own = machine(chance.choice([0.0, 30.0, 500.0]), chance.choice([2.6, 185.0]))
    drawing = frontier_svg(steps(*airs), own, system=system)
    hold_rules(drawing, "frontier")
    for layer in ("wide", "narrow"):
        texts = [label.text for label in drawing.labels if label.layer == layer]
        assert "yard-25" in texts


def test_a_key_line_stands_for_each_sort_of_mark_that_is_there():
    every = frontier_svg(steps(3.0, None, 1.0), machine(), system="us").key
    assert len(every) == 3
    alike = frontier_svg(steps(3.0, 2.0, 1.0), machine(), system="us").key
    assert [line.text for line in alike] == [
        "this much free air, or more, is enough",
        "yard-25, as recorded",
    ]

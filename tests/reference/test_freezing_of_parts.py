"""Freezing of parts against closed forms, a separate program and textbook films."""

import numpy as np
import pytest

from maintenance.engine.freezing import film
from maintenance.engine.freezing.kinds import NAMED_SHAPES, Shape
from maintenance.engine.freezing.lumped import Loss, advance, heat_content, time_to_ice
from maintenance.engine.freezing.outlook import Exposure, Weather, freeze_outlook
from maintenance.engine.freezing.thermal import (
    Insulation,
    insulation_of_r_value,
    stack_parts,
    thermal_part,
)
from maintenance.engine.worksheets.registry import find_worksheet

pytestmark = pytest.mark.reference

HALF_INCH = {"insulation_thickness": "0.5 in", "insulation_conductivity": "0.04 W/m/K"}
INCH = {"insulation_thickness": "1 in", "insulation_conductivity": "0.04 W/m/K"}
R5 = {"insulation_r": "5 h*ft2*degF/Btu"}


def hours_of(answer, key):
    value = answer.outputs[key]
    assert isinstance(value, float)
    return value / 3600.0


@pytest.mark.parametrize(
    ("part", "wrap", "air", "wind", "hours"),
    [
        ("3/4 in copper", {}, 28, 0.5, (0.57, 5.6, 10.6)),
        ("1 in copper", {}, 28, 0.5, (0.82, 8.2, 15.5)),
        ("1 in copper", {}, 28, 4.5, (0.29, 2.9, 5.5)),
        ("1 in copper", {}, 20, 0.5, (0.44, 2.9, 5.4)),
        ("2 in copper", {}, 28, 4.5, (0.72, 7.4, 14.2)),
        ("2 in copper", {}, 20, 0.5, (1.1, 7.4, 13.7)),
        ("brass body", {}, 28, 0.5, (3.3, 26, 49)),
        ("brass body", {}, 20, 4.5, (0.64, 3.4, 6.1)),
        ("1 in copper", HALF_INCH, 28, 4.5, (3.3, 33, 63)),
        ("1 in copper", HALF_INCH, 10, 4.5, (1.2, 6.6, 12.0)),
        ("1 in copper", INCH, 20, 4.5, (2.8, 18, 34)),
        ("1 in copper", R5, 28, 0.5, (6.6, 65, 124)),
        ("1 in copper", R5, 20, 0.5, (3.5, 23, 43)),
        ("brass body", R5, 20, 4.5, (13, 69, 125)),
        ("brass body", R5, 10, 4.5, (8.6, 39, 70)),
    ],
)
def test_hours_in_steady_air_agree_with_a_separate_program(
    part, wrap, air, wind, hours
):
    # Computed apart in steps of two minutes; its table is rounded to two digits.
    answer = find_worksheet("part_freeze").answer(
        {
            "part": part,
            "air_temperature": f"{air} degF",
            "start_temperature": "50 degF",
            "wind": f"{wind} m/s",
            **wrap,
        }
    )
    keys = ("first_ice_s", "half_frozen_s", "frozen_s")
    found = [hours_of(answer, key) for key in keys]
    assert found == pytest.approx(list(hours), rel=0.06)


def test_a_pipe_with_one_film_follows_the_closed_form_through_whole_hours():
    part = thermal_part(0.025, 0.028, "copper")
    loss = Loss(np.array(10 * np.pi * 0.028), np.array(-8.0))
    heat = heat_content(part, 283.15)
    first = float(time_to_ice(part, heat, loss, 0.0))
    assert first / 3600 == pytest.approx(0.640, rel=0.005)
    for _ in range(7):
        heat = advance(part, heat, loss, 3600.0)
    # 0.640 h to the freezing point, then 6.463 h to all ice.
    share = float(-heat / part.latent_j_per_m)
    assert share == pytest.approx((7 - 0.640) / 6.463, rel=0.005)


FOAM = Insulation(thickness_m=0.0127, conductivity_w_per_m_k=0.04)
FOAM_INCH = Insulation(thickness_m=0.0254, conductivity_w_per_m_k=0.04)
NIGHT = (
    ("3/4 in copper", None, (0, 13, 46, 89, 100, 100, 100, 100)),
    ("1 in copper", None, (0, 10, 33, 63, 97, 100, 100, 100)),
    ("2 in copper", None, (0, 6, 15, 27, 40, 55, 86, 100)),
    ("brass body", None, (0, 5, 13, 23, 34, 46, 72, 100)),
    ("1 in copper", FOAM, (0, 3, 7, 13, 19, 25, 39, 58)),
    ("1 in copper", FOAM_INCH, (0, 1, 4, 8, 12, 16, 25, 37)),
    ("brass body", insulation_of_r_value(0.8806), (0, 0, 0, 0, 0, 0, 0, 0)),
)
MINIMA = (34, 32, 30, 28, 26, 24, 20, 15)


def kelvin(degf):
    return (np.asarray(degf) + 459.67) / 1.8


def clear_night(minimum):
    """Air in each hour: half a cosine from 55 degF at 15 h to the minimum at 6 h and
    half a cosine up to 50 degF at 15 h."""
    middle = np.arange(24) + 0.5
    falling = 0.5 * (1 + np.cos(np.pi * middle / 15))
    rising = 0.5 * (1 - np.cos(np.pi * (middle - 15) / 9))
    return np.where(
        middle < 15,
        minimum + (55 - minimum) * falling,
        minimum + (50 - minimum) * rising,
    )


def test_ice_of_a_clear_night_agrees_with_a_separate_program():
    parts = stack_parts(
        [
            thermal_part(
                NAMED_SHAPES[name].inside_diameter_m,
                NAMED_SHAPES[name].outside_diameter_m,
                NAMED_SHAPES[name].material,
                wrap,
            )
            for name, wrap, _ in NIGHT
        ]
    )
    count = len(NIGHT)
    exposure = Exposure(np.ones(count), np.full(count, 0.5), np.ones(count))
    air = np.stack([kelvin(clear_night(low)) for low in MINIMA], axis=1)[:, :, None]
    weather = Weather(
        air,
        np.ones((24, 1)),
        np.full((24, 1), 15.0),
        np.array([283.15]),
        np.array([283.15]),
    )
    outlook = freeze_outlook(parts, exposure, weather, np.full((1, count), kelvin(55)))
    found = 100 * outlook.ice_fraction[:, 0, :].T
    wanted = np.array([row for _, _, row in NIGHT])
    assert np.abs(found - wanted).max() <= 5.0


def test_films_agree_with_worked_examples_of_a_textbook():
    # Incropera and DeWitt, examples 7.4 (Re 6071, Pr 0.70: Nu 40.6) and 9.4
    # (Ra 5.073e6, Pr 0.697: Nu 23.3), from memory; the air here has Pr 0.715.
    diameter = 0.0127
    wind = 6071 * film.AIR_KINEMATIC_VISCOSITY / diameter
    forced = film.forced_churchill_bernstein(diameter, wind)
    assert float(forced) * diameter / film.AIR_CONDUCTIVITY == pytest.approx(
        40.6, rel=0.015
    )
    fall = 5.073e6 / film.RAYLEIGH_OF_1_M_1_K / 0.1**3
    free = film.free_churchill_chu(0.1, fall)
    assert float(free) * 0.1 / film.AIR_CONDUCTIVITY == pytest.approx(23.3, rel=0.015)


def test_the_handbook_formula_is_a_lower_bound_of_the_first_ice():
    shape = Shape(1.025 * 0.0254, 1.125 * 0.0254, "copper")
    for thickness in (0.25, 0.5, 1.0, 2.0):
        handbook = find_worksheet("pipe_freeze_time").answer(
            {
                "water_diameter": "1.025 in",
                "pipe_diameter": "1.125 in",
                "insulated_diameter": f"{1.125 + 2 * thickness} in",
                "conductivity": "0.04 W/m/K",
                "water_temperature": "50 degF",
                "air_temperature": "20 degF",
            }
        )
        ours = find_worksheet("part_freeze").answer(
            {
                "inside_diameter": f"{shape.inside_diameter_m} m",
                "outside_diameter": f"{shape.outside_diameter_m} m",
                "material": "copper",
                "insulation_thickness": f"{thickness} in",
                "insulation_conductivity": "0.04 W/m/K",
                "air_temperature": "20 degF",
                "start_temperature": "50 degF",
                "wind": "10 m/s",
            }
        )
        assert hours_of(handbook, "to_freezing_point_s") < hours_of(ours, "first_ice_s")

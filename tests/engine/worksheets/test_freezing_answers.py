"""What the worksheets on freezing answer: never, either or, and nothing out of range."""

import pytest

from maintenance.engine.errors import InputError
from maintenance.engine.worksheets.registry import find_worksheet

PART = {
    "part": "1 in copper",
    "air_temperature": "20 degF",
    "start_temperature": "50 degF",
}
OWN = {
    "inside_diameter": "1 in",
    "outside_diameter": "1.2 in",
    "material": "brass",
    "air_temperature": "20 degF",
    "start_temperature": "50 degF",
}
PIPE = {
    "water_diameter": "1.049 in",
    "pipe_diameter": "1.315 in",
    "insulated_diameter": "2.315 in",
    "conductivity": "0.04 W/m/K",
    "water_temperature": "50 degF",
    "air_temperature": "20 degF",
}
FROST = {
    "dry_density": "100 lb/ft3",
    "water_content": "15",
    "conductivity": "0.78 Btu/h/ft/degF",
    "surface_index": "500 degF*d",
    "duration": "100 d",
    "mean_temperature": "49 degF",
}
TIMES = ("first_ice_s", "half_frozen_s", "frozen_s")


def outputs(name, inputs):
    return find_worksheet(name).answer(inputs).outputs


@pytest.mark.parametrize("air", ["32 degF", "40 degF"])
def test_air_that_does_not_freeze_gives_never_and_not_a_number(air):
    answer = find_worksheet("part_freeze").answer(PART | {"air_temperature": air})
    assert dict(answer.outputs) == dict.fromkeys(TIMES)
    assert all("never" in answer.figures[key].text() for key in TIMES)
    pipe = outputs("pipe_freeze_time", PIPE | {"air_temperature": air})
    assert dict(pipe) == {"to_freezing_point_s": None}


def test_a_clear_sky_brings_ice_in_air_above_freezing():
    clear = {"air_temperature": "33 degF", "sky_depression": "20 K", "wind": "0.2 m/s"}
    assert all(outputs("part_freeze", PART | clear)[key] for key in TIMES)


def test_a_film_takes_the_place_of_wind_and_sky_and_says_so():
    own = {"film": "10 W/m2/K"}
    plain = find_worksheet("part_freeze").answer(PART | own)
    blown = find_worksheet("part_freeze").answer(PART | own | {"wind": "9 m/s"})
    assert plain.outputs == blown.outputs
    assert not plain.warnings
    assert [warning.code for warning in blown.warnings] == ["film_given"]


def test_an_r_value_is_that_thickness_of_foam():
    r_value = outputs("part_freeze", PART | {"insulation_r": "1 m2*K/W"})
    foam = outputs(
        "part_freeze",
        PART
        | {"insulation_thickness": "40 mm", "insulation_conductivity": "0.04 W/m/K"},
    )
    assert [r_value[key] for key in TIMES] == pytest.approx(
        [foam[key] for key in TIMES]
    )
    bare = outputs("part_freeze", PART | {"insulation_r": "0 m2*K/W"})
    assert bare == outputs("part_freeze", PART)


@pytest.mark.parametrize(
    ("inputs", "named"),
    [
        ({k: v for k, v in PART.items() if k != "part"}, "part"),
        (PART | {"material": "brass"}, "material"),
        ({k: v for k, v in OWN.items() if k != "material"}, "material"),
        (OWN | {"outside_diameter": "1 in"}, "outside_diameter"),
        (PART | {"insulation_thickness": "1 in"}, "insulation_conductivity"),
        (PART | {"insulation_conductivity": "0.04 W/m/K"}, "insulation_thickness"),
        (
            PART | {"insulation_r": "1 m2*K/W", "insulation_thickness": "1 in"},
            "insulation_r",
        ),
        (PART | {"part": "9 in copper"}, "part"),
        (PART | {"start_temperature": "20 degF"}, "start_temperature"),
    ],
)
def test_what_does_not_go_together_is_refused_by_name(inputs, named):
    with pytest.raises(InputError) as caught:
        outputs("part_freeze", inputs)
    assert caught.value.input == named
    assert str(caught.value).startswith(named)


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"pipe_diameter": "1 in"}, "pipe_diameter"),
        ({"insulated_diameter": "1.315 in"}, "insulated_diameter"),
    ],
)
def test_a_pipe_without_insulation_is_sent_to_the_other_worksheet(change, named):
    with pytest.raises(InputError) as caught:
        outputs("pipe_freeze_time", PIPE | change)
    assert caught.value.input == named


def test_frost_depth_never_exceeds_its_upper_bound_and_grows_with_the_frost():
    depths = []
    for index in ("100 degF*d", "500 degF*d", "2000 degF*d"):
        found = outputs("frost_depth", FROST | {"surface_index": index})
        assert 0.0 < found["depth_m"] < found["stefan_depth_m"]
        depths.append(found["depth_m"])
    assert depths == sorted(depths)


def test_a_negative_depth_is_refused_by_name():
    inputs = {
        "depth": "-1 in",
        "day": "335",
        "mean_temperature": "49 degF",
        "amplitude": "23 delta_degF",
        "coldest_day": "20",
        "diffusivity": "0.05 m2/d",
    }
    with pytest.raises(InputError) as caught:
        outputs("soil_temperature", inputs)
    assert caught.value.input == "depth"

"""What the worksheets on water in pipes answer: defaults, warnings, proportions."""

import pytest
from hypothesis import given, settings, strategies as st

from maintenance.engine.errors import InputError
from maintenance.engine.worksheets.registry import find_worksheet

PIPE = {"flow": "50 gpm", "inside_diameter": "2.067 in", "length": "100 ft"}
PSI = 6894.757293168361
FEW = settings(max_examples=25, deadline=None)


def answer(name, **inputs):
    return find_worksheet(name).answer(inputs)


def outputs(name, **inputs):
    return answer(name, **inputs).outputs


def test_each_formula_shows_the_defaults_that_it_used_and_no_other():
    used = {
        method: {
            used.name for used in answer("line_loss", method=method, **PIPE).inputs
        }
        for method in ("hazen_williams", "darcy_weisbach")
    }
    assert "c" in used["hazen_williams"]
    assert "roughness" not in used["hazen_williams"]
    assert "c" not in used["darcy_weisbach"]
    assert "roughness" in used["darcy_weisbach"]


def test_cold_water_loses_more_by_darcy_weisbach_and_the_same_by_hazen_williams():
    def loss(method, temperature):
        given = outputs("line_loss", method=method, temperature=temperature, **PIPE)
        return given["head_loss_m"]

    warm, cold = (loss("darcy_weisbach", t) for t in ("68 degF", "50 degF"))
    assert cold / warm == pytest.approx(4.183 / 3.956, rel=0.003)
    assert loss("hazen_williams", "68 degF") == loss("hazen_williams", "35 degF")


def test_the_friction_factor_gives_back_the_loss_by_either_formula():
    for method in ("hazen_williams", "darcy_weisbach"):
        got = outputs("line_loss", method=method, **PIPE)
        head = (
            got["friction_factor"]
            * (100 * 12 / 2.067)
            * got["velocity_m_per_s"] ** 2
            / (2 * 9.80665)
        )
        assert head == pytest.approx(got["head_loss_m"], rel=1e-12)


def test_outlets_lower_the_loss_and_one_outlet_is_the_whole_loss():
    def loss(**more):
        given = outputs("line_loss", method="hazen_williams", **PIPE, **more)
        return given["head_loss_m"]

    assert loss(outlets="1") == loss()
    assert loss(outlets="10") / loss() == pytest.approx(0.402, abs=5e-4)
    assert loss(outlets="2") > loss(outlets="3") > loss(outlets="30")


def test_a_formula_used_outside_its_range_is_marked():
    slow = PIPE | {"flow": "1 gph"}
    creeping = answer("line_loss", method="hazen_williams", **slow)
    assert not creeping.figures["head_loss_m"].in_range
    assert (
        answer("line_loss", method="hazen_williams", **PIPE)
        .figures["head_loss_m"]
        .in_range
    )
    laminar = answer("line_loss", method="darcy_weisbach", **slow)
    assert laminar.figures["head_loss_m"].in_range
    spread = answer("line_loss", method="darcy_weisbach", outlets="8", **slow)
    assert not spread.figures["head_loss_m"].in_range


@pytest.mark.parametrize(("gpm", "said"), [(52, []), (53, ["above_5_ft_per_s"])])
def test_speed_above_five_feet_a_second_is_remarked(gpm, said):
    pipe = PIPE | {"flow": f"{gpm} gpm"}
    given = answer("line_loss", method="hazen_williams", **pipe)
    assert [warning.code for warning in given.warnings] == said


def test_the_loss_is_also_said_as_pressure():
    given = answer("line_loss", method="hazen_williams", **PIPE)
    assert given.figures["head_loss_m"].assumptions[-1] == (
        "as pressure, that head is 1.8 psi (11.9 kPa)"
    )


@FEW
@given(k=st.floats(0.01, 20.0), low=st.floats(1.0, 50.0), high=st.floats(1.0, 250.0))
def test_a_head_known_by_k_or_by_one_point_gives_the_same_water(k, low, high):
    point = {"flow": f"{k * low**0.5:.12g} gpm", "at_pressure": f"{low:.12g} psi"}
    pressure = f"{high:.12g} psi"
    by_k = outputs("head_flow", k=f"{k:.12g} gpm/psi^0.5", pressure=pressure)
    by_point = outputs("head_flow", pressure=pressure, **point)
    assert by_point["flow_m3_per_s"] == pytest.approx(by_k["flow_m3_per_s"], rel=1e-9)


def test_filling_goes_at_one_foot_a_second_unless_told_and_says_why():
    pipe = {"length": "500 ft", "inside_diameter": "2.149 in"}
    taken = answer("fill", **pipe).inputs[-1]
    assert (taken.name, taken.text) == ("velocity", "1 ft/s")
    assert taken.origin == "assumed"
    assert "no source" in taken.why
    assert answer("fill", **pipe).warnings == ()
    assert answer("fill", velocity="12 in/s", **pipe).warnings == ()
    quick = answer("fill", velocity="2 ft/s", **pipe)
    assert [w.code for w in quick.warnings] == ["above_1_ft_per_s"]


def test_filling_faster_than_the_published_limit_is_refused():
    with pytest.raises(InputError, match="2 ft/s") as refusal:
        answer("fill", length="500 ft", inside_diameter="2 in", velocity="2.5 ft/s")
    assert refusal.value.high == pytest.approx(0.6096)


@FEW
@given(
    length=st.floats(1.0, 5000.0),
    bore=st.floats(0.01, 0.5),
    speed=st.floats(0.01, 0.6),
)
def test_filling_takes_length_over_speed_whatever_the_bore(length, bore, speed):
    got = outputs(
        "fill",
        length=f"{length:.12g} m",
        inside_diameter=f"{bore:.12g} m",
        velocity=f"{speed:.12g} m/s",
    )
    assert got["time_s"] == pytest.approx(length / speed)
    assert got["time_s"] * got["flow_m3_per_s"] == pytest.approx(got["volume_m3"])


def test_the_filling_time_is_never_shown_short():
    given = answer("fill", length="500 ft", inside_diameter="2.149 in")
    assert given.figures["time_s"].text("us") == "8.4 min"


def test_material_and_modulus_ratio_are_two_ways_to_say_one_thing():
    pipe = {"dimension_ratio": "21", "velocity_change": "5 ft/s"}
    for material, ratio in (("PVC", "0.75"), ("pvc", "0.75"), ("PE", "2")):
        named = outputs("surge", material=material, **pipe)
        assert named == outputs("surge", modulus_ratio=ratio, **pipe)


def test_a_material_without_a_modulus_is_refused_with_the_way_round():
    with pytest.raises(InputError) as refusal:
        answer(
            "surge", material="copper", dimension_ratio="21", velocity_change="0 m/s"
        )
    assert str(refusal.value) == (
        'material: no modulus is known here for "copper"; give PVC or PE, or leave it '
        "out and give modulus_ratio"
    )


def test_surge_grows_with_the_stop_and_with_a_stiffer_pipe():
    def surge(**more):
        return outputs("surge", **more)["surge_pa"]

    stop = {"velocity_change": "5 ft/s"}
    thick = surge(material="PVC", dimension_ratio="13.5", **stop)
    thin = surge(material="PVC", dimension_ratio="41", **stop)
    assert thick > thin > surge(material="PE", dimension_ratio="41", **stop)
    still = surge(material="PVC", dimension_ratio="21", velocity_change="0 ft/s")
    assert still == 0.0
    doubled = surge(material="PVC", dimension_ratio="41", velocity_change="10 ft/s")
    assert doubled == pytest.approx(2 * thin)


def test_the_factor_of_another_standard_is_warned_against_not_applied():
    sheet = find_worksheet("surge")
    assert any("1.60" in text and "D2241" in text for text in sheet.cautions)
    given = outputs(
        "surge", material="PVC", dimension_ratio="18", velocity_change="7 ft/s"
    )
    assert given["surge_pa"] / PSI == pytest.approx(122, abs=1)


def test_the_allowance_is_an_upper_bound_and_not_for_glued_pipe():
    sheet = find_worksheet("leak_allowance")
    assert any("upper bound" in t and "solvent" in t for t in sheet.cautions)
    test = {"length": "500 ft", "pressure": "75 psi"}
    small = answer("leak_allowance", diameter="2 in", **test)
    assert not small.figures["flow_m3_per_s"].in_range
    assert small.figures["flow_m3_per_s"].text("us") == "0.058 gal/h"
    assert [w.code for w in small.warnings] == [
        "smaller_than_the_standard",
        "local_code",
    ]
    assert "0.50 gal" in small.warnings[-1].text
    wide = answer("leak_allowance", diameter="4 in", **test)
    assert wide.figures["flow_m3_per_s"].in_range
    assert [w.code for w in wide.warnings] == ["local_code"]
    assert wide.outputs["flow_m3_per_s"] == pytest.approx(
        2 * small.outputs["flow_m3_per_s"]
    )


def test_a_dial_that_stands_still_is_no_promise():
    still = answer("meter_leak", volume="0 gal", duration="15 min")
    assert still.outputs["flow_m3_per_s"] == 0.0
    assert [w.code for w in still.warnings] == ["dial_did_not_move"]
    assert answer("meter_leak", volume="1 gal", duration="15 min").warnings == ()

"""What a worksheet answers: contract, defaults with their origin, rounding, scale."""

import itertools
import json

import pytest

from maintenance.engine.worksheets.declaration import as_json
from maintenance.engine.worksheets.examples import published_examples
from maintenance.engine.worksheets.registry import (
    WORKSHEETS,
    find_worksheet,
    reference_rows,
)

CONTRACT = {
    "pipe": {"outside_diameter_m", "inside_diameter_m", "volume_m3_per_m", "rating_pa"},
    "pipe_derating": {"factor", "rating_pa"},
    "pressure_limit": {"limit_pa", "limited_by", "reasons"},
    "free_air": {"mass_flow_kg_per_s", "standard_m3_per_s"},
    "head_air": {
        "effective_area_m2",
        "standard_m3_per_s",
        "choked",
        "standard_m3_per_s_high",
    },
    "displacement_air": {
        "actual_m3_per_s",
        "free_m3_per_s",
        "standard_m3_per_s_heads_dry",
    },
    "air_line": {"mass_flow_kg_per_s", "choked", "choke_pressure_pa"},
    "fanno": {"length_parameter"},
    "receiver": {"free_air_m3", "refill_s", "lasts_s", "volume_needed_m3"},
    "receiver_blowdown": {"adiabatic_s", "isothermal_s"},
    "emptying_time": {"time_s", "time_with_inertia_s", "peak_velocity_m_per_s"},
    "left_behind": {"front_velocity_m_per_s", "fraction"},
    "sweep": {
        "wallis_m_per_s",
        "kutateladze_m_per_s",
        "turner_m_per_s",
        "coleman_m_per_s",
        "taitel_dukler_m_per_s",
        "standard_m3_per_s_needed",
        "standard_m3_per_s_safe",
        "steepest_rise_deg",
    },
    "film_drag": {"holdup"},
    "compression": {"discharge_temperature_k"},
    "hose_temperature": {
        "outlet_temperature_k",
        "pipe_time_constant_s",
        "seconds_to_37_8_c",
        "seconds_to_60_c",
    },
    "stored_energy": {"energy_j", "tnt_kg", "above_100_kj"},
    "line_loss": {"head_loss_m", "velocity_m_per_s", "reynolds", "friction_factor"},
    "head_flow": {"flow_m3_per_s"},
    "fill": {"flow_m3_per_s", "volume_m3", "time_s"},
    "surge": {"wave_speed_m_per_s", "surge_pa"},
    "leak_allowance": {"flow_m3_per_s"},
    "meter_leak": {"flow_m3_per_s"},
    "backflow_verdict": {"verdict", "reasons", "buffer_psi"},
}


def answer(name, **inputs):
    return find_worksheet(name).answer(inputs)


def outputs(name, **inputs):
    return answer(name, **inputs).outputs


def inputs_used(answered):
    return json.loads(json.dumps(as_json(answered)))["inputs"]


def test_the_names_and_keys_of_the_contract_are_there():
    assert set(CONTRACT) <= set(WORKSHEETS)
    for name, keys in CONTRACT.items():
        assert {output.key for output in WORKSHEETS[name].outputs} == keys


@pytest.mark.parametrize("sheet", WORKSHEETS.values(), ids=WORKSHEETS)
def test_an_answer_becomes_strict_json_with_a_figure_for_each_number(sheet):
    inputs = next(e.inputs for e in published_examples() if e.subject == sheet.name)
    answered = sheet.answer(inputs)
    whole = json.loads(json.dumps(as_json(answered), allow_nan=False))
    assert list(whole) == [
        "format",
        "worksheet",
        "inputs",
        "outputs",
        "figures",
        "warnings",
    ]
    assert whole["format"] == "worksheet/1"
    numbers = {o.key for o in sheet.outputs if o.kind == "number"}
    assert set(whole["figures"]) == numbers
    for key in numbers:
        figure = answered.figures[key]
        assert figure.value == answered.outputs[key]
        assert figure.sources == sheet.sources
        assert figure.method


def test_what_is_left_out_is_shown_as_assumed_with_its_reason():
    used = inputs_used(answer("head_air", k="1 gpm/psi^0.5", pressure="50 psi"))
    assert used["k"]["origin"] == "stated"
    assert used["x_t"]["origin"] == "assumed"
    assert "no source" in used["x_t"]["why"]
    assert "flow" not in used


def test_a_default_without_use_is_not_shown():
    line = {
        "pressure_in": "60 psi",
        "pressure_out": "0 psi",
        "temperature": "50 degF",
        "inside_diameter": "3/4 in",
        "length": "50 ft",
    }
    assert "roughness" in inputs_used(answer("air_line", **line))
    given = answer("air_line", **line, friction_factor="0.02")
    assert "roughness" not in inputs_used(given)


def test_limits_are_shown_rounded_down_and_needs_rounded_up():
    limit = answer(
        "pressure_limit",
        pipe="PE SIDR-19",
        size="1",
        placement="buried",
        temperature="50 degF",
    )
    assert limit.outputs["limit_pa"] / 6894.757293168361 == pytest.approx(45.36)
    assert limit.figures["limit_pa"].text("us") == "45 psi"
    need = answer(
        "sweep", inside_diameter="26.64 mm", pressure="50 psi", temperature="50 degF"
    )
    assert need.figures["standard_m3_per_s_needed"].text("us") == "37.1 cfm"


def test_unknown_is_null_and_says_what_to_give():
    given = answer(
        "sweep", inside_diameter="26.64 mm", pressure="50 psi", temperature="50 degF"
    )
    assert given.outputs["steepest_rise_deg"] is None
    assert "standard_flow" in given.figures["steepest_rise_deg"].text("us")


def test_gauge_and_absolute_pressure_meet_at_the_site():
    line = {
        "temperature": "50 degF",
        "inside_diameter": "3/4 in",
        "length": "50 ft",
        "pressure_out": "0 psi",
    }
    gauge = outputs("air_line", pressure_in="300 kPa", **line)
    absolute = outputs("air_line", pressure_in="401.325 kPa abs", **line)
    assert gauge["mass_flow_kg_per_s"] == pytest.approx(
        absolute["mass_flow_kg_per_s"], rel=1e-12
    )
    high = outputs("air_line", pressure_in="300 kPa", elevation="1600 m", **line)
    assert high["mass_flow_kg_per_s"] < gauge["mass_flow_kg_per_s"]


def test_time_times_flow_is_the_volume_stored():
    tank = {"volume": "30 gal", "pressure_high": "120 psi", "pressure_low": "80 psi"}
    given = outputs("receiver", **tank, free_air_delivery="10 cfm", demand="25 cfm")
    cfm = 0.3048**3 / 60
    assert given["refill_s"] * 10 * cfm == pytest.approx(given["free_air_m3"])
    assert given["lasts_s"] * 15 * cfm == pytest.approx(given["free_air_m3"])
    sized = outputs(
        "receiver",
        pressure_high="120 psi",
        pressure_low="80 psi",
        free_air_delivery="10 cfm",
        demand="25 cfm",
        duration=f"{given['lasts_s']} s",
    )
    assert sized["volume_needed_m3"] == pytest.approx(30 * 3.785411784e-3)


def test_a_compressor_of_zero_and_a_tank_of_zero_cannot_and_do_not_fail():
    tank = {"pressure_high": "120 psi", "pressure_low": "80 psi"}
    given = answer("receiver", volume="0 gal", free_air_delivery="0 cfm", **tank)
    assert given.outputs["free_air_m3"] == 0.0
    assert given.outputs["refill_s"] is None
    assert "cannot" in given.figures["refill_s"].text("us")
    nothing = outputs(
        "free_air",
        free_air_delivery="0 cfm",
        elevation="0 m",
        inlet_temperature="50 degF",
    )
    assert nothing["standard_m3_per_s"] == 0.0


def test_a_compressor_that_keeps_up_never_empties_its_tank():
    given = answer(
        "receiver",
        volume="30 gal",
        pressure_high="120 psi",
        pressure_low="80 psi",
        free_air_delivery="30 cfm",
        demand="25 cfm",
        duration="5 min",
    )
    assert given.outputs["lasts_s"] is None
    assert given.outputs["volume_needed_m3"] == 0.0
    assert [w.code for w in given.warnings] == ["keeps_up"]


def test_a_blocked_head_passes_no_air():
    given = outputs("head_air", k="0 gpm/psi^0.5", pressure="50 psi")
    assert given["standard_m3_per_s"] == given["standard_m3_per_s_high"] == 0.0


def test_a_head_chokes_above_thirteen_psi_at_sea_level():
    choked = [
        outputs("head_air", k="1 gpm/psi^0.5", pressure=f"{p} psi")["choked"]
        for p in (12.9, 13.2)
    ]
    assert choked == [False, True]


def test_a_cool_hose_never_heats_the_pipe():
    given = outputs(
        "hose_temperature",
        discharge_temperature="80 degF",
        ambient_temperature="50 degF",
        standard_flow="25 cfm",
        inside_diameter="3/4 in",
        length="50 ft",
    )
    assert given["seconds_to_37_8_c"] is None
    assert given["seconds_to_60_c"] is None


def test_lower_pressure_sweeps_better_and_a_flatter_climb_needs_less():
    def needed(**more):
        base = {"inside_diameter": "26.64 mm", "temperature": "50 degF"}
        return outputs("sweep", **base, **more)["standard_m3_per_s_needed"]

    assert needed(pressure="20 psi") < needed(pressure="50 psi")
    slopes = [needed(pressure="20 psi", slope=f"{s} deg") for s in (0, 1, 5, 45, 90)]
    assert slopes == sorted(slopes)
    assert slopes[0] == 0.0
    assert slopes[-1] == pytest.approx(needed(pressure="20 psi"))


def test_methods_used_outside_their_range_are_marked():
    wide = answer(
        "sweep",
        inside_diameter="3 in",
        pressure="50 psi",
        temperature="50 degF",
        slope="30 deg",
    )
    assert not wide.figures["wallis_m_per_s"].in_range
    assert not wide.figures["taitel_dukler_m_per_s"].in_range
    assert wide.figures["kutateladze_m_per_s"].in_range
    assert {w.code for w in wide.warnings} == {"too_steep", "wide_pipe"}


def test_plastic_is_answered_with_what_the_standards_say():
    buried = {"size": "1", "placement": "buried", "temperature": "50 degF"}
    plastic = answer("pressure_limit", pipe="PVC Sch 40", **buried)
    metal = answer("pressure_limit", pipe="copper K", **buried)
    assert {w.code for w in plastic.warnings} == {"air_in_plastic"}
    assert metal.warnings == ()


def test_the_table_for_documents_has_a_row_for_each_worksheet():
    rows = reference_rows()
    assert [name for name, _, _ in rows] == list(WORKSHEETS)
    assert all(purpose.endswith(".") and sources for _, purpose, sources in rows)


def test_no_worksheet_promises_what_a_calculation_cannot():
    words = ("safe ", "safely", "proved", "certified", "compliant")
    for sheet in WORKSHEETS.values():
        texts = itertools.chain(
            (sheet.title, sheet.purpose, sheet.method),
            sheet.cautions,
            (o.label for o in sheet.outputs),
            (text for i in sheet.inputs for text in (i.label, i.help)),
        )
        assert not [t for t in texts if any(word in t.lower() for word in words)]

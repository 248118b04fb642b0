"""What must hold whatever the numbers: direction, scale, limits, arrays."""

import numpy as np
import pytest
from hypothesis import given, strategies as st

from maintenance.engine.air import (
    carry_out,
    emptying,
    energy,
    heat,
    line_flow,
    outlets,
    properties,
    receiver,
)

PRESSURE = st.floats(1.1e5, 1.2e6)
BORE = st.floats(0.005, 0.1)
RESISTANCE = st.floats(0.5, 500.0)
LINE = {"temperature_k": 283.15, "inside_diameter_m": 0.0266}


@given(p_in=PRESSURE, p_out=PRESSURE, resistance=RESISTANCE)
def test_a_line_passes_more_for_more_pressure_and_less_for_more_resistance(
    p_in, p_out, resistance
):
    flow = line_flow.mass_flow_isothermal(p_in, p_out, resistance=resistance, **LINE)
    more = line_flow.mass_flow_isothermal(
        p_in * 1.05, p_out, resistance=resistance, **LINE
    )
    longer = line_flow.mass_flow_isothermal(
        p_in, p_out, resistance=resistance * 1.05, **LINE
    )
    assert more >= flow
    assert longer <= flow
    assert (flow > 0) == (p_in > p_out)


@given(p_in=PRESSURE, resistance=RESISTANCE, share=st.floats(0.0, 0.99))
def test_below_the_choking_pressure_nothing_more_passes(p_in, resistance, share):
    ratio = line_flow.choke_ratio_isothermal(resistance)
    choked = line_flow.mass_flow_isothermal(
        p_in, float(ratio) * p_in * share, resistance=resistance, **LINE
    )
    vacuum = line_flow.mass_flow_isothermal(
        p_in, 0.0, resistance=resistance, choke_ratio=ratio, **LINE
    )
    assert choked == vacuum


@given(p_in=PRESSURE, resistance=RESISTANCE, share=st.floats(0.05, 0.999))
def test_the_outlet_pressure_gives_back_the_flow(p_in, resistance, share):
    choke = float(line_flow.choke_ratio_isothermal(resistance)) * p_in
    p_out = choke + share * (p_in - choke)
    flow = line_flow.mass_flow_isothermal(p_in, p_out, resistance=resistance, **LINE)
    back = line_flow.pressure_out_isothermal(p_in, flow, resistance=resistance, **LINE)
    assert float(back) == pytest.approx(p_out, rel=1e-6)


def test_a_line_asked_for_too_much_has_no_outlet_pressure():
    most = line_flow.mass_flow_isothermal(3e5, 0.0, resistance=20.0, **LINE)
    flows = np.array([0.5, 0.999, 1.001, 3.0]) * most
    p_out = line_flow.pressure_out_isothermal(3e5, flows, resistance=20.0, **LINE)
    assert np.isfinite(p_out).tolist() == [True, True, False, False]


@given(p=PRESSURE, back=st.floats(7e4, 1.05e5), area=st.floats(1e-7, 1e-3))
def test_an_outlet_scales_with_its_area_and_the_second_route_lies_above(p, back, area):
    flow = float(outlets.mass_flow_nozzle(area, p, back, 293.15))
    double = float(outlets.mass_flow_nozzle(2 * area, p, back, 293.15))
    assert double == pytest.approx(2 * flow, rel=1e-12)
    assert 0.97 <= float(outlets.second_route_ratio(p, back)) <= 1.25


def test_a_blocked_head_passes_nothing():
    area = outlets.effective_area_from_k(0.0)
    assert float(outlets.mass_flow_nozzle(area, 4e5, 1e5, 293.15)) == 0.0
    assert float(outlets.mass_flow_nozzle(1e-5, 1e5, 1e5, 293.15)) == 0.0
    assert float(outlets.mass_flow_nozzle(1e-5, 0.9e5, 1e5, 293.15)) == 0.0
    assert float(outlets.second_route_ratio(1e5, 1e5)) == 1.0


def test_arrays_broadcast_through_the_functions_of_the_loops():
    p = np.linspace(1.2e5, 5e5, 7)[:, None]
    bores = np.array([0.02, 0.03, 0.05])
    flow = line_flow.mass_flow_isothermal(
        p, 1.5e5, temperature_k=280.0, inside_diameter_m=bores, resistance=30.0
    )
    assert flow.shape == (7, 3)
    assert outlets.mass_flow_nozzle(bores * 1e-3, p, 1e5, 280.0).shape == (7, 3)
    assert carry_out.front_velocity(p * 1e-5, bores).shape == (7, 3)
    assert carry_out.wallis_number(p, 4.0, bores).shape == (7, 3)
    assert carry_out.taitel_dukler_velocity(bores, p * 1e-5).shape == (7, 3)
    assert heat.hose_outlet_temperature(390.0, 283.0, p * 1e-7, bores, 15.0).shape == (
        7,
        3,
    )


@given(z=st.floats(0.0, 5000.0), step=st.floats(1.0, 800.0))
def test_higher_up_the_same_delivery_is_less_standard_air(z, step):
    low, high = (
        properties.standard_flow(
            properties.mass_flow_of_free_air(
                0.01, properties.atmospheric_pressure(height), 283.15
            )
        )
        for height in (z, z + step)
    )
    assert high < low


@given(v=st.floats(0.0, 20.0), bore=BORE)
def test_the_front_outruns_the_water_and_leaves_a_share(v, bore):
    left = float(carry_out.fraction_left(v, bore))
    faster = float(carry_out.fraction_left(v * 1.5, bore))
    assert 0.16 < left <= 1.0
    # The two branches of the law meet with a jump of 0.3 % in speed.
    assert faster <= left + 0.004


@given(bore=BORE, rho=st.floats(1.0, 10.0), slope=st.floats(0.01, 1.57))
def test_the_wallis_speed_has_the_number_one(bore, rho, slope):
    speed = carry_out.wallis_velocity(bore, rho, slope)
    assert float(carry_out.wallis_number(speed, rho, bore, slope)) == pytest.approx(1.0)
    assert float(carry_out.wallis_velocity(bore, rho, slope)) <= float(
        carry_out.wallis_velocity(bore, rho)
    )


@pytest.mark.parametrize("depth", [0.05, 0.2, 0.5, 0.8])
def test_taitel_dukler_uses_the_areas_of_a_circle(depth):
    bore, rho = 0.0266, 3.0
    y = np.linspace(0, depth, 200_001) * bore
    chord = 2 * np.sqrt(np.maximum(y * (bore - y), 0))
    water = np.trapezoid(chord, y)
    full = np.pi / 4 * bore**2
    air = full - water
    weight = (1000 - rho) * 9.80665
    speed = (1 - depth) * np.sqrt(weight * air / (rho * chord[-1]))
    ours = float(carry_out.taitel_dukler_velocity(bore, rho, 0.0, depth))
    assert ours == pytest.approx(speed * air / full, rel=1e-5)


def test_more_pressure_drives_the_column_out_sooner_and_halves_add_up():
    case = (100.0, 0.0266, 0.022, 50.0)
    times = [emptying.emptying_time_closed(*case, p) for p in (1e5, 2e5, 4e5)]
    assert times == sorted(times, reverse=True)
    first = emptying.emptying_time_closed(*case, 2e5, left=0.5)
    rest = emptying.emptying_time_closed(50.0, 0.0266, 0.022, 50.0, 2e5)
    assert first + rest == pytest.approx(times[1], rel=1e-12)


def test_inertia_delays_an_open_pipe_and_hardly_a_throttled_one():
    def ratio(loss, length):
        time, peak = emptying.emptying_with_inertia(length, 0.0266, 0.022, loss, 3e5)
        free = emptying.emptying_time_closed(
            length, 0.0266, 0.022, loss, 3e5, left=0.02
        )
        assert peak > 0
        return time / free

    assert 1.003 < ratio(50.0, 100.0) < 1.03
    assert ratio(1.0, 30.0) > 1.05


def test_no_compressor_and_no_tank_give_nothing_and_no_exception():
    assert float(receiver.free_air_stored(0.0, 8e5, 6e5, 1e5)) == 0.0
    assert float(properties.mass_flow_of_free_air(0.0, 1e5, 283.0)) == 0.0
    assert float(heat.hose_outlet_temperature(400.0, 283.0, 0.0, 0.02, 15.0)) == 283.0


@given(volume=st.floats(0.001, 10.0), p=st.floats(1.02e5, 2e6))
def test_energy_grows_with_volume_and_pressure(volume, p):
    one = float(energy.stored_energy_pcc2(volume, p))
    assert float(energy.stored_energy_pcc2(2 * volume, p)) == pytest.approx(2 * one)
    assert float(energy.stored_energy_pcc2(volume, 1.1 * p)) > one > 0.0


def test_hot_air_reaches_a_wall_temperature_or_never_does():
    seconds = heat.seconds_to_wall_temperature(
        np.array([283.0, 310.0, 333.0, 380.0]), 283.0, 360.0, 23.0
    )
    assert seconds[0] == 0.0
    assert 0 < seconds[1] < seconds[2]
    assert np.isinf(seconds[3])

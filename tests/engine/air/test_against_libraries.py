"""The formulas agree with open libraries over whole ranges, not at one point."""

import fluids
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from fluids.control_valve import size_control_valve_g

from maintenance.engine import friction
from maintenance.engine.air import heat, line_flow, outlets, properties
from maintenance.engine.constants import GAS_CONSTANT_AIR

pytestmark = pytest.mark.reference

REYNOLDS = np.geomspace(4e3, 1e8, 40)
ROUGHNESS = (1e-6, 1e-4, 1e-3, 0.05)


@pytest.mark.parametrize("rough", ROUGHNESS)
@pytest.mark.parametrize(
    ("ours", "theirs"),
    [
        (friction.darcy_churchill, fluids.friction.Churchill_1977),
        (friction.darcy_haaland, fluids.friction.Haaland),
        (friction.darcy_colebrook, fluids.friction.Colebrook),
    ],
)
def test_friction_factors_equal_those_of_fluids(ours, theirs, rough):
    expected = [theirs(float(re), rough) for re in REYNOLDS]
    np.testing.assert_allclose(ours(REYNOLDS, rough), expected, rtol=1e-9)


def test_churchill_is_laminar_below_the_transition():
    laminar = np.geomspace(1.0, 1500.0, 30)
    np.testing.assert_allclose(
        friction.darcy_churchill(laminar, 1e-4), 64 / laminar, rtol=2e-3
    )


def test_atmosphere_equals_that_of_1976():
    heights = np.linspace(-400, 4000, 25)
    expected = [fluids.ATMOSPHERE_1976(z).P for z in heights]
    np.testing.assert_allclose(
        properties.atmospheric_pressure(heights), expected, rtol=5e-4
    )


@pytest.mark.parametrize("temperature", [265.0, 283.15, 320.0, 420.0])
@pytest.mark.parametrize("pressure", [8e4, 1.01325e5, 4.46e5, 8e5])
def test_air_is_close_to_real_air(temperature, pressure):
    real = PropsSI("D", "T", temperature, "P", pressure, "Air")
    assert float(properties.density(pressure, temperature)) == pytest.approx(
        real, rel=6e-3 if temperature < 283 else 4e-3
    )
    real = PropsSI("V", "T", temperature, "P", 101325, "Air")
    assert float(properties.viscosity(temperature)) == pytest.approx(real, rel=0.01)
    real = PropsSI("L", "T", temperature, "P", 101325, "Air")
    assert float(properties.conductivity(temperature)) == pytest.approx(real, rel=0.02)


@pytest.mark.parametrize("length", [1.0, 30.0, 400.0])
@pytest.mark.parametrize("factor", [0.012, 0.03])
def test_isothermal_flow_and_choking_equal_fluids(length, factor):
    p_in, bore, temperature = 446_064.0, 0.0266, 293.15
    inlet_density = p_in / (GAS_CONSTANT_AIR * temperature)
    choke = fluids.P_isothermal_critical_flow(p_in, factor, bore, length)
    resistance = factor * length / bore
    assert float(line_flow.choke_ratio_isothermal(resistance)) == pytest.approx(
        choke / p_in, rel=1e-9
    )
    for share in (0.1, 0.5, 0.9):
        p_out = choke + share * (p_in - choke)
        expected = fluids.isothermal_gas(
            rho=inlet_density, fd=factor, P1=p_in, P2=p_out, L=length, D=bore
        )
        ours = line_flow.mass_flow_isothermal(
            p_in,
            p_out,
            temperature_k=temperature,
            inside_diameter_m=bore,
            resistance=resistance,
        )
        assert float(ours) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("x_t", [0.6, 0.7, 0.8])
@pytest.mark.parametrize("gauge", [20e3, 140e3, 345e3, 550e3])
def test_the_valve_route_equals_fluids(gauge, x_t):
    k_si, back = 2e-7, 101_325.0
    mass = float(outlets.mass_flow_valve_iec(k_si, back + gauge, back, 293.15, x_t))
    molar = 8.31446261815324 / GAS_CONSTANT_AIR * 1000
    kv = size_control_valve_g(
        T=293.15,
        MW=molar,
        mu=1.8e-5,
        gamma=1.4,
        Z=1.0,
        P1=back + gauge,
        P2=back,
        Q=mass * 8.31446261815324 * 273.15 / 101_325.0 / molar * 1000,
        xT=x_t,
    )
    assert kv == pytest.approx(k_si * 3600 * np.sqrt(1e5), rel=2e-3)


def test_the_nozzle_law_equals_the_one_written_in_mach_numbers():
    p0, t0, k = 300_000.0, 293.15, 1.4
    for back in np.linspace(160_000.0, 299_000.0, 8):
        mach = np.sqrt(2 / (k - 1) * ((p0 / back) ** ((k - 1) / k) - 1))
        t = t0 / (1 + (k - 1) / 2 * mach**2)
        expected = (
            back / (GAS_CONSTANT_AIR * t) * mach * np.sqrt(k * GAS_CONSTANT_AIR * t)
        )
        ours = float(outlets.mass_flow_nozzle(1.0, p0, back, t0))
        assert ours == pytest.approx(expected, rel=1e-12)


def test_compression_heats_as_in_fluids():
    for ratio in (1.5, 4.0, 8.0):
        expected = fluids.isentropic_T_rise_compression(
            T1=288.0, P1=1e5, P2=ratio * 1e5, k=1.4, eta=0.75
        )
        ours = float(heat.discharge_temperature(288.0, ratio, 0.75))
        assert ours == pytest.approx(expected, rel=1e-12)

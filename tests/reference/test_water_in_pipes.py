"""Water in pipes agrees with EPANET, CoolProp and sums worked apart, over ranges."""

import os
from collections.abc import Iterator
from contextlib import contextmanager

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from epanet import toolkit

from maintenance.engine.air.outlets import water_flow_from_k
from maintenance.engine.friction import darcy_churchill, darcy_colebrook
from maintenance.engine.line_loss import (
    head_loss_darcy_weisbach,
    head_loss_hazen_williams,
    mean_velocity,
    outlet_factor_christiansen,
)
from maintenance.engine.startup.surge import surge_head_joukowsky, wave_speed_korteweg
from maintenance.engine.water import pressure_of_head, viscosity_iapws

pytestmark = pytest.mark.reference

PSI = 6894.757293168361
GPM = 3.785411784e-3 / 60
FT, INCH = 0.3048, 0.0254
BORES_IN = (0.622, 1.049, 2.149, 4.0)
SPEEDS_FT_S = (0.5, 2.0, 5.0)
# EPANET's own water: 1.1e-5 ft2/s (EPANET 2.2 manual, VISCOSITY option).
EPANET_VISCOSITY = 1.1e-5 * FT**2


@contextmanager
def project(formula: int) -> Iterator[int]:
    handle = toolkit.createproject()
    toolkit.init(handle, os.devnull, "", toolkit.GPM, formula)
    try:
        yield handle
    finally:
        toolkit.close(handle)
        toolkit.deleteproject(handle)


def solve(handle: int) -> None:
    toolkit.setoption(handle, toolkit.ACCURACY, 1e-8)
    toolkit.openH(handle)
    toolkit.initH(handle, 0)
    toolkit.runH(handle)


def loss_by_epanet(formula, roughness, flow_gpm, bore_in, outlets=1) -> float:
    """Head lost over 100 ft with equal demands at equal spacing [m]."""
    with project(formula) as handle:
        source = toolkit.addnode(handle, "source", toolkit.RESERVOIR)
        toolkit.setnodevalue(handle, source, toolkit.ELEVATION, 500.0)
        last = "source"
        for number in range(outlets):
            name = f"outlet{number}"
            node = toolkit.addnode(handle, name, toolkit.JUNCTION)
            demand = flow_gpm / outlets
            toolkit.setnodevalue(handle, node, toolkit.BASEDEMAND, demand)
            pipe = toolkit.addlink(handle, f"pipe{number}", toolkit.PIPE, last, name)
            reach = 100.0 / outlets
            toolkit.setpipedata(handle, pipe, reach, bore_in, roughness, 0.0)
            last = name
        solve(handle)
        end = toolkit.getnodeindex(handle, last)
        return float(500.0 - toolkit.getnodevalue(handle, end, toolkit.HEAD)) * FT


def flow_gpm_at(speed_ft_s, bore_in):
    return speed_ft_s * FT * np.pi / 4 * (bore_in * INCH) ** 2 / GPM


@pytest.mark.parametrize("bore_in", BORES_IN)
@pytest.mark.parametrize("c", [100.0, 130.0, 150.0])
def test_hazen_williams_equals_that_of_epanet(bore_in, c):
    for speed in SPEEDS_FT_S:
        gpm = flow_gpm_at(speed, bore_in)
        ours = head_loss_hazen_williams(gpm * GPM, bore_in * INCH, 100 * FT, c)
        expected = loss_by_epanet(toolkit.HW, c, gpm, bore_in)
        assert float(ours) == pytest.approx(expected, rel=3e-3)


@pytest.mark.parametrize("bore_in", BORES_IN)
@pytest.mark.parametrize("roughness_mm", [0.0015, 0.15])
def test_darcy_weisbach_is_close_to_that_of_epanet(bore_in, roughness_mm):
    # EPANET takes Swamee and Jain above Re 4000, in thousandths of a foot.
    for speed in SPEEDS_FT_S[1:]:
        gpm = flow_gpm_at(speed, bore_in)
        bore = bore_in * INCH
        velocity = mean_velocity(gpm * GPM, bore)
        reynolds = velocity * bore / EPANET_VISCOSITY
        factor = darcy_churchill(reynolds, roughness_mm / 1000 / bore)
        ours = head_loss_darcy_weisbach(factor, velocity, bore, 100 * FT)
        expected = loss_by_epanet(toolkit.DW, roughness_mm / FT, gpm, bore_in)
        assert float(ours) == pytest.approx(expected, rel=0.02)


@pytest.mark.parametrize("outlets", [2, 5, 10, 36])
def test_christiansen_is_close_to_a_lateral_solved_by_epanet(outlets):
    whole = loss_by_epanet(toolkit.HW, 150.0, 12.0, 1.049)
    lateral = loss_by_epanet(toolkit.HW, 150.0, 12.0, 1.049, outlets)
    assert float(outlet_factor_christiansen(outlets)) == pytest.approx(
        lateral / whole, rel=2e-3
    )


@pytest.mark.parametrize("exponent", [1.75, 1.852, 2.0])
def test_christiansen_is_close_to_the_sum_over_the_reaches(exponent):
    for outlets in (1, 2, 3, 8, 40, 200):
        shares = np.arange(1, outlets + 1) / outlets
        exact = np.sum(shares**exponent) / outlets
        ours = float(outlet_factor_christiansen(outlets, exponent))
        assert ours == pytest.approx(exact, rel=2e-3)


def test_one_exponent_serves_smooth_pipe_by_either_formula():
    # The worksheet takes the same share with Darcy-Weisbach; summed over reaches
    # with each reach's own friction factor, plastic keeps up to 4 % more.
    bore, length, viscosity = 1.049 * INCH, 100 * FT, 1.0e-6
    for outlets in (4, 10, 30):
        flows = 12 * GPM * np.arange(1, outlets + 1) / outlets
        speed = mean_velocity(flows, bore)
        factor = darcy_colebrook(speed * bore / viscosity, 1.5e-6 / bore)
        reaches = head_loss_darcy_weisbach(factor, speed, bore, length / outlets)
        share = float(reaches.sum() / (reaches[-1] * outlets))
        ours = float(outlet_factor_christiansen(outlets))
        assert ours == pytest.approx(share, rel=0.04)


@pytest.mark.parametrize("pressure_psi", [5.0, 30.0, 80.0])
def test_a_head_gives_what_an_emitter_of_epanet_gives(pressure_psi):
    with project(toolkit.HW) as handle:
        source = toolkit.addnode(handle, "source", toolkit.RESERVOIR)
        # EPANET's psi is 1/0.4333 ft.
        toolkit.setnodevalue(handle, source, toolkit.ELEVATION, pressure_psi / 0.4333)
        head = toolkit.addnode(handle, "head", toolkit.JUNCTION)
        toolkit.setnodevalue(handle, head, toolkit.EMITTER, 0.45)
        pipe = toolkit.addlink(handle, "pipe", toolkit.PIPE, "source", "head")
        toolkit.setpipedata(handle, pipe, 0.01, 12.0, 150.0, 0.0)
        solve(handle)
        expected = toolkit.getlinkvalue(handle, pipe, toolkit.FLOW)
    k = 0.45 * GPM / PSI**0.5
    ours = float(water_flow_from_k(k, pressure_psi * PSI)) / GPM
    assert ours == pytest.approx(expected, rel=2e-3)


@pytest.mark.parametrize(
    "temperature", [273.16, 278.15, 283.15, 293.15, 313.15, 333.15]
)
def test_viscosity_of_water_equals_the_full_formulation(temperature):
    real = PropsSI("V", "T", temperature, "P", 1e5, "Water")
    assert float(viscosity_iapws(temperature)) == pytest.approx(real, rel=5e-4)


def test_a_rigid_pipe_carries_the_wave_as_fast_as_cold_water_carries_sound():
    rigid = float(wave_speed_korteweg(21.0, 0.0))
    slow, quick = (PropsSI("A", "T", t, "P", 1e5, "Water") for t in (273.16, 283.15))
    assert slow < rigid < quick


@pytest.mark.parametrize("ratio", [9.0, 18.0, 41.0])
def test_the_wave_speed_is_close_to_korteweg_with_the_other_printed_constant(ratio):
    # sqrt(K/rho) with K = 313,000 psi and 62.4 lb/ft3 gives the 1311 ft/s of Moser,
    # Buried Pipe Design, p. 220, for DR 18 and E = 400,000 psi.
    bulk, modulus, density = 313_000 * PSI, 400_000 * PSI, 62.4 * 16.018463
    other = (bulk / density / (1 + bulk / modulus * (ratio - 2))) ** 0.5
    ours = float(wave_speed_korteweg(ratio, 0.75))
    assert ours == pytest.approx(other, rel=0.02)


def test_surge_is_the_momentum_of_the_water_that_stops():
    speed, change = 400.0, 1.5
    head = surge_head_joukowsky(speed, change)
    assert float(pressure_of_head(head)) == pytest.approx(1000.0 * speed * change)

"""Closed forms agree with slow numerical integration written apart from them."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from maintenance.engine.air import film, outlets, receiver

VOLUME, AREA, T0, BACK = 0.0757, 20e-6, 293.15, 101_325.0
R, K = 287.05, 1.4


@pytest.mark.parametrize("gauge_end", [413_685.0, 100_000.0, 20_000.0, 2_000.0])
@pytest.mark.parametrize("adiabatic", [True, False])
def test_blowdown_equals_the_integrated_mass_balance(gauge_end, adiabatic):
    p0 = 827_371.0 + BACK
    m0 = p0 * VOLUME / (R * T0)

    def state(mass):
        if not adiabatic:
            return mass * R * T0 / VOLUME, T0
        temperature = T0 * (mass / m0) ** (K - 1)
        return mass * R * temperature / VOLUME, temperature

    def rate(_, m):
        pressure, temperature = state(m[0])
        return [-float(outlets.mass_flow_nozzle(AREA, pressure, BACK, temperature))]

    def at_end(_, m):
        return state(m[0])[0] - BACK - gauge_end

    at_end.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(rate, (0, 500), [m0], events=at_end, rtol=1e-10, atol=1e-12)
    function = (
        receiver.blowdown_time_adiabatic
        if adiabatic
        else receiver.blowdown_time_isothermal
    )
    ours = function(VOLUME, AREA, p0, BACK + gauge_end, T0, BACK)
    assert run.t_events is not None
    assert ours == pytest.approx(run.t_events[0][0], rel=1e-5)


def test_a_receiver_may_start_below_choking():
    case = (VOLUME, AREA, BACK + 40_000, BACK + 10_000, T0, BACK)
    whole = receiver.blowdown_time_isothermal(*case)
    upper = receiver.blowdown_time_isothermal(*case[:3], BACK + 20_000, T0, BACK)
    lower = receiver.blowdown_time_isothermal(
        VOLUME, AREA, BACK + 20_000, BACK + 10_000, T0, BACK
    )
    assert upper + lower == pytest.approx(whole, rel=1e-9)


def test_the_film_law_lies_a_little_below_a_numerical_film():
    length, bore, shear, mu, duration = 50.0, 0.0266, 2.0, 1.3e-3, 60.0
    cells = 400
    dx = length / cells
    delta = np.full(cells, 1.5e-3)
    time = 0.0
    while time < duration:
        speed = shear * delta.max() / mu
        dt = min(0.4 * dx / speed, duration - time)
        flux = shear * delta**2 / (2 * mu)
        delta -= dt / dx * np.diff(flux, prepend=0.0)
        time += dt
    numerical = 4 * delta.mean() / bore
    ours = float(film.film_holdup(length, bore, shear, duration, mu))
    assert ours < numerical < 1.04 * ours

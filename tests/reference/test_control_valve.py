"""The second route reproduces the standard's own control-valve example."""

import math

import pytest

from maintenance.engine.air.outlets import mass_flow_valve_iec

pytestmark = pytest.mark.reference

# IEC 60534-2-1, example 3 (carbon dioxide), as given in the fluids documentation.
TEMPERATURE_K = 433.0
MOLAR_MASS = 44.01e-3
P1_PA, P2_PA = 680e3, 310e3
NORMAL_FLOW_M3_PER_H = 38.0 / 36.0 * 3600.0
D1_MM, D2_MM, VALVE_MM = 80.0, 100.0, 50.0
X_T = 0.60
EXPECTED_KV = 72.59


def geometry_factor(kv):
    """Piping geometry factor of IEC 60534-2-1, clause 8, in K_v and mm."""
    k1 = 0.5 * (1 - (VALVE_MM / D1_MM) ** 2) ** 2
    k2 = (1 - (VALVE_MM / D2_MM) ** 2) ** 2
    b1, b2 = 1 - (VALVE_MM / D1_MM) ** 4, 1 - (VALVE_MM / D2_MM) ** 4
    capacity = (kv / VALVE_MM**2) ** 2
    return 1 / math.sqrt(1 + (k1 + k2 + b1 - b2) / 1.6e-3 * capacity)


def flow_kg_per_s(kv, f_p):
    k_si = kv * f_p / 3600.0 / math.sqrt(1e5)
    return float(
        mass_flow_valve_iec(
            k_si,
            P1_PA,
            P2_PA,
            TEMPERATURE_K,
            X_T,
            heat_ratio=1.30,
            gas_constant=8.314462 / MOLAR_MASS,
            compressibility=0.988,
        )
    )


def test_the_valve_of_the_example_passes_the_flow_of_the_example():
    wanted = NORMAL_FLOW_M3_PER_H / 3600.0 * MOLAR_MASS / 22.414e-3
    kv = EXPECTED_KV
    for _ in range(50):
        # The example keeps the expansion factor of the valve without reducers.
        kv *= wanted / flow_kg_per_s(kv, geometry_factor(kv))
    assert kv == pytest.approx(EXPECTED_KV, rel=0.01)


def test_without_the_reducers_the_valve_would_pass_more():
    wanted = NORMAL_FLOW_M3_PER_H / 3600.0 * MOLAR_MASS / 22.414e-3
    assert flow_kg_per_s(EXPECTED_KV, 1.0) > 1.1 * wanted

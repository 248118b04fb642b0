"""Worksheet on the energy stored in compressed air."""

from maintenance.engine.air.energy import (
    HIGHLY_HAZARDOUS_J,
    stored_energy_pcc2,
    tnt_mass_pcc2,
)
from maintenance.engine.air.properties import atmospheric_pressure
from maintenance.engine.figure import Warning
from maintenance.engine.worksheets.declaration import Outcome, Output, Worksheet
from maintenance.engine.worksheets.inputs import Input, Pressure
from maintenance.engine.worksheets.site_inputs import ELEVATION, gauge_or_absolute


def _stored_energy(*, volume: float, pressure: Pressure, elevation: float) -> Outcome:
    absolute = pressure.absolute(float(atmospheric_pressure(elevation)))
    energy = float(stored_energy_pcc2(volume, max(absolute, 1.0)))
    above = energy > HIGHLY_HAZARDOUS_J
    return Outcome(
        {
            "energy_j": energy,
            "tnt_kg": float(tnt_mass_pcc2(energy)),
            "above_100_kj": above,
        },
        warnings=(_HAZARD,) if above else (),
    )


_HAZARD = Warning(
    "much_energy",
    "More than 100 kJ: keep people away from pipe, boxes and heads while it stands "
    "under pressure, and never close every outlet.",
)

WORKSHEETS = (
    Worksheet(
        name="stored_energy",
        title="Energy stored in compressed air",
        purpose="What a pipe or tank full of air would release if it burst.",
        method="p V/(k - 1) [1 - (p_a/p)^((k-1)/k)], p absolute, p_a = 101,000 Pa",
        inputs=(
            Input(
                name="volume",
                label="volume filled with air",
                dimension="volume",
                low=0.0,
                high=1000.0,
            ),
            gauge_or_absolute("pressure", "pressure of the air"),
            ELEVATION,
        ),
        outputs=(
            Output(key="energy_j", label="energy", dimension="energy", rounding="up"),
            Output(key="tnt_kg", label="mass of TNT", dimension="mass", rounding="up"),
            Output(key="above_100_kj", label="above 100 kJ", kind="flag"),
        ),
        sources=(
            "ASME PCC-2-2008, article 5.1, mandatory appendix II",
            "University of California, Berkeley, EHS (highly hazardous above 100 kJ)",
        ),
        function=_stored_energy,
    ),
)

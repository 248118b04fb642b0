"""The kinds of quantity that the tool knows and the units people see them in."""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Dimension:
    """One kind of quantity: its SI unit and how it is shown.

    ``suffix`` ends the key of a JSON number; ``us`` and ``si`` are the units shown
    to people, ``digits`` the decimals in each.
    """

    name: str
    unit: str
    suffix: str
    us: str
    si: str
    digits: tuple[int, int]
    example: str


def _dimension(
    name: str,
    unit: str,
    suffix: str,
    us: str,
    si: str,
    digits: tuple[int, int],
    example: str,
) -> tuple[str, Dimension]:
    return name, Dimension(name, unit, suffix, us, si, digits, example)


DIMENSIONS: Final[dict[str, Dimension]] = dict(
    (
        _dimension("length", "m", "_m", "ft", "m", (1, 1), "120 ft"),
        _dimension("diameter", "m", "_m", "in", "mm", (3, 1), "1.049 in"),
        _dimension("height", "m", "_m", "ft", "m", (1, 2), "-1.5 ft"),
        _dimension("head_loss", "m", "_m", "ft", "m", (2, 2), "4 ft"),
        _dimension("depth", "m", "_m", "in", "cm", (0, 0), "12 in"),
        _dimension("area", "m2", "_m2", "ft2", "m2", (0, 0), "310 m2"),
        _dimension("small_area", "m2", "_m2", "in2", "mm2", (3, 1), "20 mm2"),
        _dimension("volume", "m3", "_m3", "gal", "L", (1, 1), "30 gal"),
        _dimension("pressure", "Pa", "_pa", "psi", "kPa", (0, 0), "45 psi"),
        _dimension("stress", "Pa", "_pa", "psi", "Pa", (4, 2), "2 Pa"),
        _dimension("flow", "m3/s", "_m3_per_s", "gpm", "L/min", (1, 1), "2.0 gpm"),
        _dimension(
            "small_flow", "m3/s", "_m3_per_s", "gpm", "L/min", (2, 2), "2.5 gpm"
        ),
        _dimension("leak_flow", "m3/s", "_m3_per_s", "gal/h", "L/h", (3, 2), "6 gal/h"),
        _dimension("air_flow", "m3/s", "_m3_per_s", "cfm", "L/min", (1, 0), "25 cfm"),
        _dimension("velocity", "m/s", "_m_per_s", "ft/s", "m/s", (1, 2), "5 ft/s"),
        _dimension("temperature", "K", "_k", "degF", "degC", (0, 0), "50 degF"),
        _dimension(
            "temperature_difference",
            "K",
            "_k",
            "delta_degF",
            "delta_degC",
            (0, 0),
            "20 delta_degF",
        ),
        _dimension("time", "s", "_s", "s", "s", (0, 0), "60 s"),
        _dimension("minutes", "s", "_s", "min", "min", (1, 1), "15 min"),
        _dimension("hours", "s", "_s", "h", "h", (0, 0), "24 h"),
        _dimension("part_hours", "s", "_s", "h", "h", (1, 1), "2.5 h"),
        _dimension("mass", "kg", "_kg", "lb", "kg", (3, 3), "1 kg"),
        _dimension(
            "mass_flow", "kg/s", "_kg_per_s", "lb/min", "kg/min", (2, 3), "1 lb/min"
        ),
        _dimension(
            "density", "kg/m3", "_kg_per_m3", "lb/ft3", "kg/m3", (1, 0), "1600 kg/m3"
        ),
        _dimension("energy", "J", "_j", "kJ", "kJ", (0, 0), "20 kJ"),
        _dimension(
            "outlet_coefficient",
            "m3/s/Pa^0.5",
            "_m3_per_s_per_pa05",
            "gpm/psi^0.5",
            "L/min/kPa^0.5",
            (3, 3),
            "0.8 gpm/psi^0.5",
        ),
        _dimension("viscosity", "Pa*s", "_pa_s", "mPa*s", "mPa*s", (2, 2), "1.3 mPa*s"),
        _dimension(
            "conductivity",
            "W/m/K",
            "_w_per_m_k",
            "Btu/h/ft/delta_degF",
            "W/m/K",
            (2, 2),
            "0.2 W/m/K",
        ),
        _dimension(
            "insulance",
            "m2*K/W",
            "_m2_k_per_w",
            "h*ft2*delta_degF/Btu",
            "m2*K/W",
            (1, 2),
            "0.5 m2*K/W",
        ),
        _dimension(
            "film_coefficient",
            "W/m2/K",
            "_w_per_m2_k",
            "Btu/h/ft2/delta_degF",
            "W/m2/K",
            (1, 1),
            "10 W/m2/K",
        ),
        _dimension(
            "degree_time", "K*s", "_k_s", "delta_degF*d", "K*d", (0, 0), "1500 degF*d"
        ),
        _dimension(
            "diffusivity", "m2/s", "_m2_per_s", "ft2/d", "m2/s", (3, 9), "1 ft2/d"
        ),
        _dimension(
            "volume_per_length",
            "m3/m",
            "_m3_per_m",
            "gal/ft",
            "L/m",
            (4, 4),
            "0.0449 gal/ft",
        ),
        _dimension(
            "latent_heat", "J/m3", "_j_per_m3", "Btu/ft3", "MJ/m3", (0, 1), "70 MJ/m3"
        ),
        _dimension("angle", "deg", "_deg", "deg", "deg", (0, 0), "180 deg"),
        _dimension("rate", "m/s", "_m_per_s", "in/h", "mm/h", (2, 1), "0.5 in/h"),
        _dimension("number", "", "", "", "", (2, 2), "0.7"),
        _dimension("reynolds", "", "", "", "", (0, 0), "76000"),
        _dimension("friction_factor", "", "", "", "", (4, 4), "0.019"),
    )
)

SHOWN: Final = {
    "m2": "m²",
    "m3": "m³",
    "ft2": "ft²",
    "in2": "in²",
    "mm2": "mm²",
    "degF": "°F",
    "degC": "°C",
    "delta_degF": "°F",
    "delta_degC": "°C",
    "deg": "°",
}

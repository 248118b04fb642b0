"""What is left of a plastic pipe's rating when it is warm."""

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Final

from maintenance.engine.errors import InputError

_ABSOLUTE_ZERO_DEGF: Final = 459.67

TABLES_OF_MATERIAL: Final = MappingProxyType(
    {
        "PVC": ("PVC",),
        "PE": ("PE3408",),
        "PE3408": ("PE3408",),
        "PE4710": ("PE4710",),
        "PE100": ("PE4710",),
        "unknown plastic": ("PVC", "PE3408"),
        "unknown": ("PVC", "PE3408"),
        "copper": (),
        "steel": (),
    }
)
"""Table of factors for each material; of several the lowest factor counts."""


@dataclass(frozen=True, slots=True)
class FactorTable:
    """Factors up to given temperatures, by straight lines or by steps."""

    material: str
    by_steps: bool
    points: tuple[tuple[float, float], ...]
    source: str

    @property
    def last_k(self) -> float:
        """Highest temperature of the table [K]."""
        return (self.points[-1][0] + _ABSOLUTE_ZERO_DEGF) / 1.8

    def factor(self, temperature_k: float) -> float:
        """Factor at a temperature that the table reaches.

        Parameters
        ----------
        temperature_k : float
            Temperature of the pipe, at most `last_k` [K].

        Returns
        -------
        float
            Factor, at most 1: no source read gives more in the cold [-].
        """
        # A whole degree that came through kelvin is a hair off; put it back.
        degf = round(temperature_k * 1.8 - _ABSOLUTE_ZERO_DEGF, 6)
        below = self.points[0]
        for point in self.points:
            if degf <= point[0]:
                if self.by_steps or point is self.points[0]:
                    return point[1]
                share = (degf - below[0]) / (point[0] - below[0])
                return below[1] + share * (point[1] - below[1])
            below = point
        raise self.refusal()

    def refusal(self) -> InputError:
        """Sentence for a temperature above the table.

        Returns
        -------
        InputError
            Names the last point and what to do [error].
        """
        last = self.points[-1][0]
        return InputError(
            f"temperature: {self.material} has no pressure rating above {last:.0f} °F "
            f"({(last - 32) / 1.8:.0f} °C); cool the air or ask the pipe's maker",
            input="temperature",
            high=self.last_k,
        )


@cache
def factor_tables() -> MappingProxyType[str, FactorTable]:
    """Tables of factors by the name of the compound.

    Returns
    -------
    mapping of str to FactorTable
        PVC, PE4710 and PE3408 [tables].
    """
    text = files("maintenance.engine.pipes").joinpath("temperature_factors.csv")
    entries: dict[str, list[dict[str, str]]] = {}
    for entry in csv.DictReader(text.read_text("utf-8").splitlines()):
        entries.setdefault(entry["material"], []).append(entry)
    return MappingProxyType(
        {
            material: FactorTable(
                material,
                rows[0]["rule"] == "step",
                tuple((float(r["up_to_degf"]), float(r["factor"])) for r in rows),
                rows[0]["source"],
            )
            for material, rows in entries.items()
        }
    )


def temperature_factor(material: str, temperature_k: float) -> float:
    """Share of the water rating that a material keeps at a temperature.

    Parameters
    ----------
    material : str
        A key of `TABLES_OF_MATERIAL` [text].
    temperature_k : float
        Temperature of the pipe [K].

    Returns
    -------
    float
        Factor, 1 or less; 1 for metals [-].

    Raises
    ------
    InputError
        If the material is not listed, or the temperature above its last point.

    Notes
    -----
    PVC by straight lines between points, PE by steps. PVC: Machinery's Handbook,
    31st ed., p. 2770. PE4710: PPI Handbook errata, 9 December 2021. PE3408: AWWA
    M55, p. 47.

    Examples
    --------
    >>> round(temperature_factor("PVC", (100 + 459.67) / 1.8), 3)
    0.62
    >>> temperature_factor("PE4710", (95 + 459.67) / 1.8)
    0.8
    """
    if material not in TABLES_OF_MATERIAL:
        listed = ", ".join(TABLES_OF_MATERIAL)
        raise InputError(
            f'material: "{material}" has no table of factors; write one of: {listed}',
            input="material",
        )
    tables = [factor_tables()[name] for name in TABLES_OF_MATERIAL[material]]
    return min((table.factor(temperature_k) for table in tables), default=1.0)

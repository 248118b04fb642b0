"""The figures that a season's list used, read back from the sheet kept with it."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from maintenance.documents.row_words import pressure_number, times_words
from maintenance.engine.blowout.verdict_words import STATES
from maintenance.engine.procedure.reading import Reading
from maintenance.engine.units import UnitSystem, to_unit


@dataclass(frozen=True, slots=True)
class UsedRow:
    """One row as it then was; texts without unit, empty where there was none.

    ``band_pa`` is what the gauge reads when the row is done, None where it cannot tell.
    ``zone`` is empty for mains and couplers, which have no heads.
    """

    key: str
    zone: str
    setting: str
    limit: str
    front: str
    passes: str
    gauge: str
    verdict: str
    band_pa: tuple[float, float] | None

    @property
    def name(self) -> str:
        """What the row is called."""
        kind, _, place = self.key.partition(":")
        if self.zone or not place:
            return f"Zone {self.zone or self.key}"
        return f"Main to {place}" if kind == "main" else f"{kind.capitalize()} {place}"

    def beside(self, reading: Reading, system: UnitSystem) -> str:
        """Say how a reading stands to what was worked out; empty if nothing can be."""
        if self.band_pa is None or reading.kind != "pressure" or reading.value is None:
            return ""
        low, high = self.band_pa
        band = f"{self.gauge} {unit_word(system)} worked out"
        # What is told is whole, so a reading is held against whole numbers too.
        shown = float(pressure_number(reading.value, system, down=False))
        if shown > float(pressure_number(high, system, down=False)):
            return f"above the {band}" + (": heads may be stuck" if self.zone else "")
        if shown < float(pressure_number(low, system, down=False)):
            return f"below the {band}"
        return f"within the {band}"


def unit_word(system: UnitSystem) -> str:
    """Return the unit of the settings and readings of a sheet."""
    return to_unit(0.0, "pressure", system)[1]


def used_rows(
    sheet: Mapping[str, Any] | None, system: UnitSystem
) -> dict[str, UsedRow]:
    """Return the rows of a kept sheet by key; none where no sheet was used."""
    if not sheet:
        return {}
    rows = [*sheet["mains"], *sheet["zones"]]
    return {row["row"]: _row(row, system) for row in rows}


def _row(row: Mapping[str, Any], system: UnitSystem) -> UsedRow:
    set_ = row["set_pressure_pa"]
    passes = [(each["on_s"], each["rest_s"]) for each in row["passes"]]
    band = _band(row["gauge"])
    return UsedRow(
        key=row["row"],
        zone=row["zone"] or "",
        setting="" if set_ is None else pressure_number(set_, system),
        limit=pressure_number(row["limit_pressure_pa"], system),
        front=_front(row["displacement"]),
        passes=times_words(passes) if passes else "",
        gauge="" if band is None else _band_words(band, system),
        verdict=STATES[row["verdict"]],
        band_pa=band,
    )


def _front(displaced: Mapping[str, Any] | None) -> str:
    if displaced is None:
        return ""
    time_s = displaced["time_s"]
    return "never" if time_s is None else f"{math.ceil(time_s - 1e-9)}"


def _band(gauge: Mapping[str, Any] | None) -> tuple[float, float] | None:
    if gauge is None or not gauge["usable"]:
        return None
    return gauge["dry_pa"], gauge["dry_high_pa"]


def _band_words(band: tuple[float, float], system: UnitSystem) -> str:
    low, high = (pressure_number(each, system, down=False) for each in band)
    return low if low == high else f"{low} to {high}"

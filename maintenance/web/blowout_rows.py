"""The rows of a blow-out sheet as its page shows them."""

from collections.abc import Mapping
from dataclasses import dataclass

from maintenance.documents.row_words import (
    CLEARS,
    GaugeWords,
    front_number,
    gauge_words,
    left_words,
    passes_words,
    pressure_number,
    setting_blocks,
    standing_words,
)
from maintenance.engine.blowout.sheet import RowSheet, Sheet
from maintenance.engine.blowout.verdict_words import STATES
from maintenance.engine.figure import Figure
from maintenance.engine.site import Site, Zone
from maintenance.engine.units import UnitSystem, display


@dataclass(frozen=True, slots=True)
class RowView:
    """One row: its numbers as texts, its figures as doors, its words."""

    sheet: RowSheet
    name: str
    where: str
    limit: str
    set: str
    front: str
    passes: str
    gauge: GaugeWords
    verdict: str
    state: str
    clears: bool
    left: str
    standing: tuple[str, ...]
    heat: str
    limit_figure: Figure | None
    front_figure: Figure | None
    gauge_figure: Figure | None
    least_air: Figure | None
    energy: Figure | None

    @property
    def key(self) -> str:
        """The row's own key."""
        return self.sheet.row.key

    @property
    def to_help(self) -> str | None:
        """The zone that remedies may be tried for: it has a setting and falls short."""
        short = self.verdict == "enough_with_rests" or not self.clears
        with_setting = self.sheet.set_pressure_pa is not None
        return self.sheet.row.zone if short and with_setting else None


@dataclass(frozen=True, slots=True)
class BlockView:
    """Rows at one setting, in running order; ``up`` where it is turned up for them."""

    setting: str
    up: bool
    rows: tuple[RowView, ...]


@dataclass(frozen=True, slots=True)
class CompareLine:
    """One row beside itself with other compressors; None where it has no such row."""

    name: str
    cells: tuple[RowView | None, ...]


def row_blocks(site: Site, sheet: Sheet, system: UnitSystem) -> tuple[BlockView, ...]:
    """Return the rows in running order, cut where the setting changes.

    Rows without a setting come last, in a block of their own.
    """
    zones = {zone.id: zone for zone in site.zones}
    blocks = [
        BlockView(
            pressure_number(block.setting_pa, system),
            block.up,
            tuple(_row_view(row, sheet, zones, system) for row in block.rows),
        )
        for block in setting_blocks(sheet)
    ]
    without = [row for row in sheet.rows if row.set_pressure_pa is None]
    if without:
        rows = tuple(_row_view(row, sheet, zones, system) for row in without)
        blocks.append(BlockView("", up=False, rows=rows))
    return tuple(blocks)


def compare(
    site: Site, sheets: list[Sheet], system: UnitSystem
) -> tuple[CompareLine, ...]:
    """Put the rows of several sheets side by side, in the order of the first."""
    zones = {zone.id: zone for zone in site.zones}
    columns = [
        {row.row.key: _row_view(row, sheet, zones, system) for row in sheet.rows}
        for sheet in sheets
    ]
    return tuple(
        CompareLine(view.name, tuple(column.get(key) for column in columns))
        for key, view in columns[0].items()
    )


def _row_view(
    row: RowSheet, sheet: Sheet, zones: Mapping[str, Zone], system: UnitSystem
) -> RowView:
    key = row.row.key
    figures = sheet.figures
    zone = zones.get(row.row.zone or "")
    return RowView(
        sheet=row,
        name=row.name,
        where=_where(zone),
        limit=pressure_number(row.limit.limit_pa, system),
        set=pressure_number(row.set_pressure_pa, system),
        front=front_number(row),
        passes=passes_words(row),
        gauge=gauge_words(row, system),
        verdict=row.verdict,
        state=STATES[row.verdict],
        clears=row.verdict in CLEARS,
        left=left_words(row),
        standing=standing_words(row, system),
        heat=_heat(row, system),
        limit_figure=figures.get(f"{key}.limit_pressure_pa"),
        front_figure=figures.get(f"{key}.displacement.time_s"),
        gauge_figure=figures.get(f"{key}.gauge.dry_pa"),
        least_air=figures.get(f"{key}.least_free_air_m3_per_s"),
        energy=figures.get(f"{key}.stored_energy_j"),
    )


def _where(zone: Zone | None) -> str:
    if zone is None:
        return ""
    return ", ".join(text for text in (zone.name, zone.box) if text)


def _heat(row: RowSheet, system: UnitSystem) -> str:
    if row.heat is None:
        return ""
    air = display(row.heat.air_temperature_k, "temperature", system, "up")
    text = f"Air arrives at {air}."
    for kelvin, seconds in (
        (310.928, row.heat.seconds_to_warm),
        (333.15, row.heat.seconds_to_hot),
    ):
        if seconds is not None:
            wall = display(kelvin, "temperature", system)
            text += f" A dry first pipe reaches {wall} after {seconds:.0f} s."
    return text

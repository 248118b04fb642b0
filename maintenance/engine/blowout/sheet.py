"""The blow-out sheet as plain values: what a face shows and a command prints."""

from dataclasses import dataclass

from maintenance.engine.blowout.heat_clock import HeatClock
from maintenance.engine.blowout.limits import RowLimit
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.settings import Group
from maintenance.engine.blowout.sweep import Sweep
from maintenance.engine.figure import Figure, Warning


@dataclass(frozen=True, slots=True)
class Displaced:
    """The first front: ``time_s`` None where it never reaches the last head."""

    time_s: float | None
    left_fraction: float
    peak_pressure_pa: float
    peak_velocity: float


@dataclass(frozen=True, slots=True)
class Pass:
    """Air on, then off, and the share of the row's water left afterwards."""

    on_s: float
    rest_s: float
    left_fraction_after: float
    left_low: float
    left_high: float


@dataclass(frozen=True, slots=True)
class Gauge:
    """What the gauge at the port reads with all pipes dry, and what it can show."""

    dry_pa: float
    dry_high_pa: float
    one_head_blocked_pa: float
    two_heads_blocked_pa: float
    heads_stay_up: bool
    usable: bool
    at_compressor_dry_pa: float
    why_not: str
    flow_kg_per_s: float
    regulator_holds: bool


@dataclass(frozen=True, slots=True)
class StandingWater:
    """Water in a low place after the last pass; ``runs_out`` where a drain takes it."""

    at: str
    link: str
    volume_m3: float
    fills_bore: bool
    text: str
    runs_out: bool = False


@dataclass(frozen=True, slots=True)
class LeftInPipe:
    """Water in one pipe after the last pass, settled; ``fullest``: share of the bore."""

    link: str
    volume_m3: float
    fullest: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RowSheet:
    """One row of the sheet. What could not be computed is None, with a warning."""

    row: Row
    order: int
    order_reason: str
    water_at_start_m3: float | None
    limit: RowLimit
    set_pressure_pa: float | None = None
    displacement: Displaced | None = None
    passes: tuple[Pass, ...] = ()
    gauge: Gauge | None = None
    sweep: tuple[Sweep, ...] = ()
    standing_water: tuple[StandingWater, ...] = ()
    free_air_m3: float | None = None
    verdict: str
    verdict_text: str
    least_free_air_m3_per_s: float | None = None
    stored_energy_j: float | None = None
    heat: HeatClock | None = None
    longest_pass_s: float = 0.0
    cautions: tuple[str, ...] = ()
    left_in_pipes: tuple[LeftInPipe, ...] = ()

    @property
    def name(self) -> str:
        """How a person calls the row."""
        kind, _, rest = self.row.key.rpartition(":")
        if not kind:
            return f"Zone {rest}"
        return f"{kind.capitalize()} to {rest}" if kind == "main" else f"Coupler {rest}"

    @property
    def air_s(self) -> float:
        """Seconds with air on or resting, the first front included. [s]."""
        first = self.displacement.time_s if self.displacement else None
        return (first or 0.0) + sum(p.on_s + p.rest_s for p in self.passes)


@dataclass(frozen=True, slots=True)
class Sign:
    """If this happens: what is seen, what it means, what to do."""

    sign: str
    meaning: str
    do: str


@dataclass(frozen=True, slots=True)
class Unknown:
    """The missing fact that would change an answer most."""

    key: str
    why: str


@dataclass(frozen=True, slots=True)
class Sheet:
    """The whole sheet for one site and one compressor."""

    site: str
    site_name: str
    compressor: str
    air_temperature_k: float
    groups: tuple[Group, ...]
    rows: tuple[RowSheet, ...]
    answer: str
    before: tuple[str, ...]
    after: tuple[str, ...]
    bring: tuple[str, ...]
    if_this_happens: tuple[Sign, ...]
    total_time_s: float
    hands_on_time_s: float
    total_free_air_m3: float
    water_out_m3: float
    water_left_m3: float
    site_volume_m3: float
    most_useful_unknown: Unknown | None
    assumed: tuple[str, ...]
    figures: dict[str, Figure]
    warnings: tuple[Warning, ...]

"""Before anything is blown: rows, limits, trial speeds, settings and order."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from maintenance.engine.air.properties import atmospheric_pressure
from maintenance.engine.blowout.displacement import displace
from maintenance.engine.blowout.gauge import read_gauge
from maintenance.engine.blowout.heat_clock import first_pipe_limit, heat_clock
from maintenance.engine.blowout.lanes import pack
from maintenance.engine.blowout.limits import RowLimit, row_limit
from maintenance.engine.blowout.machine import Machine, machine_at
from maintenance.engine.blowout.rows import Row, build_rows
from maintenance.engine.blowout.settings import (
    HIGHEST_CHOICE_PA,
    group_settings,
    lift_pressure,
    own_setting,
)
from maintenance.engine.errors import InputError
from maintenance.engine.figure import Warning
from maintenance.engine.network.air_ways import Barred
from maintenance.engine.network.graph import Graph, build_graph
from maintenance.engine.site import Compressor, Site
from maintenance.engine.units import display, parse_quantity

ASSUMED_AIR_K = parse_quantity("50 degF", "temperature")
PASS_S, SHORTEST_PASS_S = 60.0, 5.0
DRY_RUN_S = {"rotor": 15.0, "spray": 60.0}
"""Longest run of a head on dry air; common practice, no source."""
RANK = {"main": 0, "zone": 1, "coupler": 2}


@dataclass(frozen=True, slots=True)
class Prepared:
    """Everything that is decided before the first front moves.

    ``blocked`` gives for a row the sentence why it gets no setting; ``settings``
    the gauge setting of all others; ``order`` the keys in running order.
    """

    graph: Graph
    barred: Barred
    machine: Machine
    rows: Mapping[str, Row]
    limits: Mapping[str, RowLimit]
    blocked: Mapping[str, str]
    settings: Mapping[str, float]
    order: tuple[str, ...]
    reasons: Mapping[str, str]
    on_s: Mapping[str, float]
    warnings: tuple[Warning, ...]

    def emptied_before(self, keys: Sequence[str]) -> tuple[frozenset[str], ...]:
        """Return for each row the pipes that the rows before it have emptied.

        Parameters
        ----------
        keys : sequence of str
            Rows in running order. [-]

        Returns
        -------
        tuple of frozenset of str
            Ids of pipes. [-]
        """
        result, so_far = [], frozenset[str]()
        for key in keys:
            result.append(so_far)
            so_far |= {segment.link for segment in self.rows[key].segments}
        return tuple(result)


def prepare(
    site: Site,
    compressor: Compressor,
    *,
    setting_pa: float | None = None,
    air_temperature_k: float | None = None,
    only: str | None = None,
    longest_pass_s: float | None = None,
) -> Prepared:
    """Decide limits, settings and order for a site and a compressor.

    Parameters
    ----------
    site : Site
        As recorded, checked. [-]
    compressor : Compressor
        As recorded. [-]
    setting_pa : float, optional
        Gauge setting asked for; refused above a computed zone's limit. [Pa]
    air_temperature_k : float, optional
        Air, ground and inlet; default the site's, else 50 degF. [K]
    only : str, optional
        The one zone that the setting is for. [-]
    longest_pass_s : float, optional
        The person's own bound on a pass. [s]

    Returns
    -------
    Prepared
        Decisions. [SI]

    Raises
    ------
    InputError
        If the setting asked for is above a limit.
    """
    graph = build_graph(site)
    temperature = air_temperature(site, air_temperature_k)
    air = float(atmospheric_pressure(site.place.elevation.value))
    machine = machine_at(compressor, atmosphere_pa=air, temperature_k=temperature)
    listed, barred = build_rows(graph)
    rows = {row.key: row for row in listed}
    limits = {
        k: row_limit(graph, r, temperature_k=temperature) for k, r in rows.items()
    }
    blocked = {
        k: why for k, r in rows.items() if (why := _blocked(r, limits[k], machine))
    }
    open_rows = {key: row for key, row in rows.items() if key not in blocked}
    if setting_pa is not None:
        _refuse_too_high(setting_pa, open_rows, limits, only)
    own, on_s = _own_settings(graph, open_rows, limits, machine, longest_pass_s)
    if setting_pa is not None:
        own.update(
            {
                key: min(setting_pa, limits[key].limit_pa or 0.0)
                for key in own
                if only in (None, key)
            }
        )
    settings = (
        own
        if setting_pa is not None
        else _grouped(
            open_rows, own, {key: limits[key].limit_pa or 0.0 for key in open_rows}
        )
    )
    for key in [k for k, value in settings.items() if value <= 0.0]:
        blocked[key] = _no_step(rows[key], limits[key], machine)
        del settings[key]
    order, reasons = _order(graph, rows, settings)
    return Prepared(
        graph,
        barred,
        machine,
        rows,
        limits,
        blocked,
        settings,
        order,
        reasons,
        on_s,
        barred.warnings,
    )


def air_temperature(site: Site, asked_k: float | None) -> float:
    """Return the temperature of air, ground and compressor inlet.

    Parameters
    ----------
    site : Site
        As recorded. [-]
    asked_k : float or None
        What the person asked for. [K]

    Returns
    -------
    float
        Asked, else the site's, else 50 degF (assumed). [K]
    """
    if asked_k is not None:
        return asked_k
    own = site.place.autumn_air_temperature
    return own.value if own is not None else ASSUMED_AIR_K


def _blocked(row: Row, limit: RowLimit, machine: Machine) -> str:
    if row.problems:
        return " ".join(text for _, text in row.problems)
    if limit.limit_pa is None:
        return limit.text
    if not machine.fitted:
        return (
            "No setting: no pressure regulator is recorded on this compressor. Fit one "
            "with a gauge and a relief valve, and enter it."
        )
    if machine.air_kg_per_s <= 0.0:
        return "This compressor delivers no air: enter its free air delivery."
    if machine.lowest_pa > limit.limit_pa:
        return (
            f"No setting: the regulator goes down to {display(machine.lowest_pa, 'pressure')} "
            f"only, above the limit of {display(limit.limit_pa, 'pressure', 'us', 'down')}. "
            "Fit one with a lower range."
        )
    lift = lift_pressure(row.lift_m)
    if lift >= limit.limit_pa:
        return (
            f"The highest outlet needs {display(lift, 'pressure', 'us', 'up')} to lift the "
            f"water, above the limit of {display(limit.limit_pa, 'pressure', 'us', 'down')}. "
            "Blow from a higher port, or drain the low part first."
        )
    return ""


def _no_step(row: Row, limit: RowLimit, machine: Machine) -> str:
    return (
        f"No step of the regulator ({display(machine.step_pa, 'pressure')}) fits under "
        f"{display(limit.limit_pa, 'pressure', 'us', 'down')} for {row.key}; fit a finer one."
    )


def _refuse_too_high(
    setting_pa: float,
    rows: Mapping[str, Row],
    limits: Mapping[str, RowLimit],
    only: str | None,
) -> None:
    for key, row in rows.items():
        limit = limits[key].limit_pa
        if row.kind != "zone" or limit is None or only not in (None, key):
            continue
        if setting_pa > limit:
            raise InputError(
                f"--set {display(setting_pa, 'pressure')} is above the limit of zone {key}, "
                f"{display(limit, 'pressure', 'us', 'down')} ({limits[key].part}: "
                f"{limits[key].text}) Set that or less.",
                input="set",
                low=0.0,
                high=limit,
            )


def _own_settings(
    graph: Graph,
    rows: Mapping[str, Row],
    limits: Mapping[str, RowLimit],
    machine: Machine,
    longest_pass_s: float | None,
) -> tuple[dict[str, float], dict[str, float]]:
    keys = sorted(rows, key=lambda k: RANK[rows[k].kind])
    if not keys:
        return {}, {}
    trial = np.array([min(limits[k].limit_pa or 0.0, HIGHEST_CHOICE_PA) for k in keys])
    emptied, so_far = [], frozenset[str]()
    for key in keys:
        emptied.append(so_far)
        if rows[key].kind == "main":
            so_far |= {s.link for s in rows[key].segments}
    lanes = pack([rows[k] for k in keys], emptied)
    run = displace(lanes, machine, trial + machine.atmosphere_pa)
    own, on_s = {}, {}
    for i, key in enumerate(keys):
        row = rows[key]
        plateau = read_gauge(row, machine, float(trial[i]))
        clock = heat_clock(row, machine, plateau.flow_kg_per_s)
        asked = [PASS_S, *(DRY_RUN_S.get(o.kind, PASS_S) for o in row.outlets)]
        if longest_pass_s is not None:
            asked.append(longest_pass_s)
        if clock is not None and clock.seconds_to_hot is not None:
            asked.append(clock.seconds_to_hot)
        on_s[key] = max(SHORTEST_PASS_S, math.floor(min(asked)))
        own[key] = own_setting(
            limit_pa=limits[key].limit_pa or 0.0,
            lift_m=row.lift_m,
            step_pa=machine.step_pa,
            trial_pa=float(trial[i]),
            trial_speed=float(run.peak_velocity[i]),
            first_pipe_pa=first_pipe_limit(
                graph, row, clock, seconds=on_s[key], start_k=machine.temperature_k
            ),
        )
    return own, on_s


def _grouped(
    rows: Mapping[str, Row], own: Mapping[str, float], limits: Mapping[str, float]
) -> dict[str, float]:
    """Give zones at most three settings, and the others one of those."""
    zones = {k: v for k, v in own.items() if rows[k].kind == "zone" and v > 0}
    needs = {k: lift_pressure(rows[k].lift_m) for k in zones}
    settings = group_settings(zones, needs) if zones else {}
    levels = sorted(set(settings.values()))
    for key, value in own.items():
        if rows[key].kind == "zone":
            settings.setdefault(key, value)
        elif not levels:
            settings[key] = value
        elif rows[key].kind == "coupler":
            settings[key] = min(levels[0], limits[key])
        else:
            # A main goes at the highest setting under its own choice, else at the
            # lowest of the zones': fast water is a caution, a fourth setting a trap.
            below = [level for level in levels if level <= value]
            settings[key] = min(below[-1] if below else levels[0], limits[key])
    return settings


def _order(
    graph: Graph, rows: Mapping[str, Row], settings: Mapping[str, float]
) -> tuple[tuple[str, ...], dict[str, str]]:
    wishes = {z.id: z.blow_out_order for z in graph.site.zones}

    def rank(key: str) -> tuple[float, ...]:
        row = rows[key]
        wish = wishes.get(row.zone or "")
        setting = settings.get(key, 0.0) if row.kind == "zone" else 0.0
        return (
            RANK[row.kind],
            -setting,
            wish if wish is not None else math.inf,
            -row.distance_m,
        )

    order = tuple(sorted(rows, key=rank))
    reasons = {}
    for key in order:
        row = rows[key]
        far = display(row.distance_m, "length")
        if row.kind == "main":
            reasons[key] = "The main first, through its largest end opening."
        elif row.kind == "coupler":
            reasons[key] = "Couplers last, each once, at the lowest setting or less."
        elif wishes.get(row.zone or "") is not None:
            reasons[key] = (
                f"Your own order among the zones of its setting ({far} of pipe)."
            )
        else:
            reasons[key] = (
                f"Farthest first among the zones of its setting ({far} of pipe)."
            )
    return order, reasons

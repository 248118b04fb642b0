"""Each row's own setting from a trial run, then three settings and an order for all."""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from maintenance.engine.blowout.displacement import displace
from maintenance.engine.blowout.gauge import plateau_flows
from maintenance.engine.blowout.heat_clock import first_pipe_limit, heat_clock
from maintenance.engine.blowout.lanes import Array, pack
from maintenance.engine.blowout.limits import RowLimit
from maintenance.engine.blowout.machine import Machine
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.settings import (
    HIGHEST_CHOICE_PA,
    MOST_SETTINGS,
    group_settings,
    lift_pressure,
    on_step,
    own_setting,
)
from maintenance.engine.blowout.supply import supply_of
from maintenance.engine.network.graph import Graph
from maintenance.engine.units import UnitSystem, display

PASS_S, SHORTEST_PASS_S = 60.0, 5.0
DRY_RUN_S = {"rotor": 15.0, "spray": 60.0}
"""Longest run of a head on dry air; common practice, no source."""
RANK = {"main": 0, "zone": 1, "coupler": 2}


def own_settings(
    graph: Graph,
    rows: Mapping[str, Row],
    limits: Mapping[str, RowLimit],
    machine: Machine,
    longest_pass_s: float | None,
    fixed: Mapping[str, float] | None = None,
) -> tuple[dict[str, float], dict[str, float]]:
    """Choose each row's own setting and the length of its passes.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    rows : mapping of str to Row
        Rows that get a setting. [-]
    limits : mapping of str to RowLimit
        Their limits. [Pa]
    machine : Machine
        The compressor. [-]
    longest_pass_s : float or None
        The person's own bound. [s]
    fixed : mapping of str to float, optional
        Settings to keep instead of choosing; never above the limit. [Pa]

    Returns
    -------
    tuple of dict
        Gauge settings and pass lengths by row. [Pa], [s]
    """
    keys = sorted(rows, key=lambda k: RANK[rows[k].kind])
    if not keys:
        return {}, {}
    trial = np.array([min(limits[k].limit_pa or 0.0, HIGHEST_CHOICE_PA) for k in keys])
    speeds = np.zeros(len(keys))
    if fixed is None:
        speeds = _trial_speeds(rows, keys, machine, trial)
    flows = np.zeros(len(keys))
    if machine.discharge_k is not None:
        flows = plateau_flows([rows[k] for k in keys], [machine] * len(keys), trial)
    own, on_s = {}, {}
    for i, key in enumerate(keys):
        row = rows[key]
        clock = heat_clock(graph, row, machine, float(flows[i]))
        asked = [PASS_S, *(DRY_RUN_S.get(o.kind, PASS_S) for o in row.outlets)]
        if longest_pass_s is not None:
            asked.append(longest_pass_s)
        if clock is not None and clock.seconds_to_hot is not None:
            asked.append(clock.seconds_to_hot)
        on_s[key] = max(SHORTEST_PASS_S, math.floor(min(asked)))
        if fixed is not None and key in fixed:
            own[key] = min(fixed[key], limits[key].limit_pa or 0.0)
            continue
        own[key] = own_setting(
            limit_pa=limits[key].limit_pa or 0.0,
            lift_m=row.lift_m,
            step_pa=machine.step_pa,
            trial_pa=float(trial[i]),
            trial_speed=float(speeds[i]),
            first_pipe_pa=first_pipe_limit(
                graph, row, clock, seconds=on_s[key], start_k=machine.temperature_k
            ),
        )
    return own, on_s


def _slow_level(
    rows: Mapping[str, Row], others: Mapping[str, float], step_pa: float
) -> float | None:
    """Return one setting for mains and couplers: their least, but enough to lift."""
    if not others:
        return None
    lift = max(lift_pressure(rows[key].lift_m) for key in others)
    return max(min(others.values()), math.ceil(lift / step_pa) * step_pa)


def _trial_speeds(
    rows: Mapping[str, Row], keys: Sequence[str], machine: Machine, trial: Array
) -> Array:
    """Return the water's peak speed of each row at a setting tried."""
    emptied, so_far = [], frozenset[str]()
    for key in keys:
        emptied.append(so_far)
        if rows[key].kind == "main":
            so_far |= {s.link for s in rows[key].segments}
    lanes = pack([rows[k] for k in keys], emptied)
    run = displace(lanes, supply_of([machine]), trial + machine.atmosphere_pa)
    return run.peak_velocity


def grouped_settings(
    rows: Mapping[str, Row],
    own: Mapping[str, float],
    limits: Mapping[str, float],
    step_pa: float,
) -> dict[str, float]:
    """Give all rows at most three settings; mains and couplers share one.

    Parameters
    ----------
    rows : mapping of str to Row
        Rows that get a setting. [-]
    own : mapping of str to float
        Their own settings. [Pa]
    limits : mapping of str to float
        Their limits. [Pa]
    step_pa : float
        Step of the regulator. [Pa]

    Returns
    -------
    dict of str to float
        Gauge setting of each row. [Pa]
    """
    zones = {k: v for k, v in own.items() if rows[k].kind == "zone" and v > 0}
    others = {k: v for k, v in own.items() if rows[k].kind != "zone" and v > 0}
    slow = _slow_level(rows, others, step_pa)
    # Big pipes want less than laterals, or their water runs fast: a level of their own.
    apart = bool(zones) and slow is not None and slow < min(zones.values())
    needs = {k: lift_pressure(rows[k].lift_m) for k in zones}
    settings = group_settings(zones, needs, most=MOST_SETTINGS - apart)
    lowest = min(settings.values(), default=math.inf)
    for key, value in own.items():
        if key not in settings:
            level = slow if apart and slow is not None else min(value, lowest)
            settings[key] = on_step(min(level, limits[key]), step_pa)
    return settings


def running_order(
    graph: Graph,
    rows: Mapping[str, Row],
    settings: Mapping[str, float],
    units: UnitSystem,
) -> tuple[tuple[str, ...], dict[str, str]]:
    """Put the rows in running order, with the reason for each.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    rows : mapping of str to Row
        All rows. [-]
    settings : mapping of str to float
        Settings, where there is one. [Pa]
    units : str
        Units in which the sentences are written, ``us`` or ``si``. [-]

    Returns
    -------
    tuple of (keys, reasons)
        Mains, zones by setting, port and distance, couplers. [-]
    """
    wishes = {z.id: z.blow_out_order for z in graph.site.zones}
    # The hose is moved once for each port and setting, not from zone to zone.
    ports = list(dict.fromkeys(row.port for row in rows.values()))

    def rank(key: str) -> tuple[float, ...]:
        row = rows[key]
        wish = wishes.get(row.zone or "")
        setting = settings.get(key, 0.0) if row.kind == "zone" else 0.0
        return (
            RANK[row.kind],
            -setting,
            wish if wish is not None else math.inf,
            ports.index(row.port),
            -row.distance_m,
        )

    order = tuple(sorted(rows, key=rank))
    reasons = {}
    for key in order:
        row = rows[key]
        far = display(row.distance_m, "length", units)
        if row.kind == "main":
            reasons[key] = "The main first, through its largest end opening."
        elif row.kind == "coupler":
            reasons[key] = "Couplers last, each once, at the lowest setting or less."
        elif wishes.get(row.zone or "") is not None:
            reasons[key] = (
                f"Your own order among the zones of its setting ({far} of pipe)."
            )
        else:
            same = f"its setting at {row.port}" if len(ports) > 1 else "its setting"
            reasons[key] = f"Farthest first among the zones of {same} ({far} of pipe)."
    return order, reasons

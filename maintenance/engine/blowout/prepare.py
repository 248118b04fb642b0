"""Before anything is blown: rows, limits, trial speeds, settings and order."""

from collections.abc import Mapping
from dataclasses import dataclass

from maintenance.engine.air.properties import atmospheric_pressure
from maintenance.engine.blowout.choice import (
    grouped_settings,
    own_settings,
    running_order,
)
from maintenance.engine.blowout.limits import RowLimit, row_limit
from maintenance.engine.blowout.machine import Machine, machine_at
from maintenance.engine.blowout.refusals import no_step, why_blocked
from maintenance.engine.blowout.rows import Row, build_rows
from maintenance.engine.errors import InputError
from maintenance.engine.figure import Warning
from maintenance.engine.network.air_ways import Barred
from maintenance.engine.network.graph import Graph, build_graph
from maintenance.engine.site import Compressor, Site
from maintenance.engine.units import UnitSystem, display, parse_quantity

ASSUMED_AIR_K = parse_quantity("50 degF", "temperature")


@dataclass(frozen=True, slots=True)
class AskedSetting:
    """A gauge setting that a person asks for, of every row or of one zone. [Pa]."""

    pressure_pa: float
    zone: str | None = None

    def is_for(self, key: str) -> bool:
        """Tell whether it is asked of a row.

        Parameters
        ----------
        key : str
            Key of the row. [-]

        Returns
        -------
        bool
            True for every row where no zone is named. [-]
        """
        return self.zone in (None, key)


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
    units: UnitSystem

    def emptied_before(self) -> tuple[frozenset[str], ...]:
        """Return the pipes that the rows before each open row have emptied.

        Returns
        -------
        tuple of frozenset of str
            Ids of pipes for each row with a setting, in running order. [-]
        """
        result, so_far = [], frozenset[str]()
        for key in self.order:
            if key in self.settings:
                result.append(so_far)
                so_far |= {segment.link for segment in self.rows[key].segments}
        return tuple(result)


def prepare(
    site: Site,
    compressor: Compressor,
    *,
    asked: AskedSetting | None = None,
    air_temperature_k: float | None = None,
    longest_pass_s: float | None = None,
    alone: str | None = None,
    fixed: Mapping[str, float] | None = None,
    units: UnitSystem = "us",
) -> Prepared:
    """Decide limits, settings and order for a site and a compressor.

    Parameters
    ----------
    site : Site
        As recorded, checked. [-]
    compressor : Compressor
        As recorded. [-]
    asked : AskedSetting, optional
        Setting asked for; refused above the limit of a zone that can be computed. [Pa]
    air_temperature_k : float, optional
        Air, ground and inlet; default the site's, else 50 degF. [K]
    longest_pass_s : float, optional
        The person's own bound on a pass. [s]
    alone : str, optional
        Compute only this zone, behind the main of its port. [-]
    fixed : mapping of str to float, optional
        Settings to keep instead of choosing. [Pa]
    units : str
        Units in which the sentences are written, ``us`` or ``si``. [-]

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
    listed, barred = build_rows(graph, alone=alone)
    rows = {row.key: row for row in listed}
    limits = {
        k: row_limit(graph, r, temperature_k=temperature, units=units)
        for k, r in rows.items()
    }
    blocked = {
        k: why
        for k, r in rows.items()
        if (why := why_blocked(r, limits[k], machine, units))
    }
    open_rows = {key: row for key, row in rows.items() if key not in blocked}
    if asked is not None:
        _refuse_too_high(asked, open_rows, limits, units)
    own, on_s = own_settings(graph, open_rows, limits, machine, longest_pass_s, fixed)
    if asked is not None:
        own.update(
            {
                key: min(asked.pressure_pa, limits[key].limit_pa or 0.0)
                for key in own
                if asked.is_for(key)
            }
        )
    settings = (
        own
        if asked is not None
        else grouped_settings(
            open_rows,
            own,
            {key: limits[key].limit_pa or 0.0 for key in open_rows},
            machine.step_pa,
        )
    )
    for key in [k for k, value in settings.items() if value <= 0.0]:
        blocked[key] = no_step(rows[key], limits[key], machine, units)
        del settings[key]
    order, reasons = running_order(graph, rows, settings, units)
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
        units,
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


def _refuse_too_high(
    asked: AskedSetting,
    rows: Mapping[str, Row],
    limits: Mapping[str, RowLimit],
    units: UnitSystem,
) -> None:
    for key, row in rows.items():
        limit = limits[key].limit_pa
        if row.kind != "zone" or limit is None or not asked.is_for(key):
            continue
        if asked.pressure_pa > limit:
            raise InputError(
                f"--set {display(asked.pressure_pa, 'pressure', units)} is above the limit of "
                f"zone {key}, {display(limit, 'pressure', units, 'down')} "
                f"({limits[key].part}: "
                f"{limits[key].text}) Set that or less.",
                input="set",
                low=0.0,
                high=limit,
            )

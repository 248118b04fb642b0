"""Compile the shutdown list of a site, in the order in which it is done."""

from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.procedure.shutdown.air import (
    Planned,
    blow,
    candidates,
    cells_to_blow,
    plan_air,
)
from maintenance.engine.procedure.shutdown.assemblies import (
    empty_assemblies,
    leave_assemblies,
)
from maintenance.engine.procedure.shutdown.beginning import get_ready, last_run
from maintenance.engine.procedure.shutdown.choices import ShutdownChoices
from maintenance.engine.procedure.shutdown.controllers import (
    suspend_controllers,
    switch_off_controllers,
)
from maintenance.engine.procedure.shutdown.devices import (
    empty_the_rest,
    take_out_devices,
)
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.drains import open_drains
from maintenance.engine.procedure.shutdown.ending import (
    finish,
    leave_drains,
    leave_valves,
    reopen_legs,
    stay_for_weeps,
)
from maintenance.engine.procedure.shutdown.given import Given, gather
from maintenance.engine.procedure.shutdown.holding import prove_sources
from maintenance.engine.procedure.shutdown.isolation import part_source, pumps_to_stop
from maintenance.engine.procedure.shutdown.locked_in import drain_locked_in
from maintenance.engine.procedure.shutdown.not_blown import (
    drain_zones,
    warn_of_refused,
)
from maintenance.engine.procedure.shutdown.pressure import relieve
from maintenance.engine.procedure.shutdown.pumps import drain_pumps, stop_pumps
from maintenance.engine.procedure.shutdown.sources import shut_source
from maintenance.engine.procedure.shutdown.users import keep_open
from maintenance.engine.procedure.step import Procedure
from maintenance.engine.site import Site
from maintenance.engine.units import UnitSystem

NO_CHOICES = ShutdownChoices()


def compile_shutdown(
    site: Site,
    *,
    sheet: Sheet | None = None,
    choices: ShutdownChoices = NO_CHOICES,
    units: UnitSystem = "us",
) -> Procedure:
    """Compile the autumn shutdown list of a site.

    Parameters
    ----------
    site : Site
        As recorded, checked; a one-card site is laid out by assumption. [-]
    sheet : Sheet, optional
        The blow-out sheet of this site with the compressor that comes; without one the
        list drains only. [-]
    choices : ShutdownChoices, optional
        What a person decided. [-]
    units : str, optional
        Units in which the sentences are written, ``us`` or ``si``. [-]

    Returns
    -------
    Procedure
        Steps in order, what stays open, warnings. A row of the sheet that would break
        a rule is not blown, and a warning says so. [-]

    Raises
    ------
    InputError
        If a choice names what the site does not have.

    Notes
    -----
    Every step is carried out on paper while the list is written, so that each next one
    starts from what is open, shut, relieved and proved by then. The list is still to be
    checked as a whole (`check_procedure`).
    """
    given = gather(site, choices, units)
    first = candidates(given, sheet)
    draft = _until_air(given, sheet, first)
    planned = plan_air(draft, first)
    if planned != first:
        draft = _until_air(given, sheet, planned)
    _after_air(draft, blow(draft, planned))
    return Procedure(
        "shutdown",
        tuple(draft.steps),
        tuple(draft.stays_open.values()),
        tuple(draft.warnings),
    )


def _until_air(given: Given, sheet: Sheet | None, planned: Planned) -> Draft:
    """Write everything that comes before the hose is connected."""
    draft = Draft(given)
    draft.block = "Before you start"
    get_ready(draft, sheet, planned)
    draft.block = "Last run"
    last_run(draft)
    draft.block = "Controllers"
    suspend_controllers(draft, planned.rows)
    draft.block = "Water off"
    keep_open(draft)
    stopped = pumps_to_stop(given)
    stop_pumps(draft, stopped)
    for supply in given.piping.supplies:
        shut_source(draft, part_source(given, supply, stopped))
    draft.block = "Pressure off"
    relieve(draft)
    draft.block = "Drain"
    blown = cells_to_blow(draft, planned)
    open_drains(draft, blown)
    drain_locked_in(draft)
    empty_assemblies(draft)
    drain_pumps(draft, stopped)
    draft.block = "See that the water is held"
    prove_sources(draft, blown)
    draft.block = "Out of the line"
    take_out_devices(draft, blown)
    return draft


def _after_air(draft: Draft, planned: Planned) -> None:
    """Write everything that comes after the hose is off."""
    draft.block = "Drains for winter"
    stay_for_weeps(draft)
    leave_drains(draft)
    reopen_legs(draft)
    draft.block = "Zones without air"
    drain_zones(draft, planned)
    warn_of_refused(draft, planned.refused)
    draft.block = "Not to be forgotten"
    empty_the_rest(draft)
    controllers = draft.given.graph.site.controllers
    draft.block = "Controllers off" if controllers else "Each valve once more"
    switch_off_controllers(draft)
    draft.block = "Left for winter"
    leave_assemblies(draft)
    leave_valves(draft)
    finish(draft)

"""A seasonal list checked, with its map of water: the contract's JSON object."""

from collections.abc import Iterable
from dataclasses import dataclass

from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.figure import Figure, Warning, without_repeats
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.checker import (
    CheckedProcedure,
    CheckedStep,
    check_on,
)
from maintenance.engine.procedure.frost_drains import positions_run_down
from maintenance.engine.procedure.piping import lay_piping
from maintenance.engine.procedure.sections import stand
from maintenance.engine.procedure.shutdown.holding import time_to_refill
from maintenance.engine.procedure.shutdown.run_off import levels_after
from maintenance.engine.procedure.state import State
from maintenance.engine.procedure.step import Procedure
from maintenance.engine.procedure.water_left import WaterLeft, water_left
from maintenance.engine.procedure.water_left_report import water_left_as_json
from maintenance.engine.site import Site
from maintenance.engine.site.card import site_from_card
from maintenance.engine.units import UnitSystem


@dataclass(frozen=True, slots=True)
class ReportedList:
    """A list with its check, and the water that it leaves where it empties the site.

    ``left`` is None for a list that fills the site again.
    """

    site: Site
    checked: CheckedProcedure
    left: WaterLeft | None
    figures: dict[str, Figure]
    warnings: tuple[Warning, ...]


def report_list(
    site: Site,
    procedure: Procedure,
    *,
    sheet: Sheet | None = None,
    agreed: Iterable[str] = (),
    start: State | None = None,
    units: UnitSystem = "us",
) -> ReportedList:
    """Check a list and draw up where water is left after it.

    Parameters
    ----------
    site : Site
        As recorded, checked; a one-card site is laid out by assumption. [-]
    procedure : Procedure
        The list. [-]
    sheet : Sheet, optional
        The blow-out sheet that it follows. [-]
    agreed : iterable of str, optional
        Other uses whose people agree to be without water. [-]
    start : State, optional
        Where the list begins; default as for the checker. [-]
    units : str, optional
        Units in which the sentences are written, ``us`` or ``si``. [-]

    Returns
    -------
    ReportedList
        Everything that a face shows. [SI]

    Raises
    ------
    InputError
        If a step moves what is not there, or the sheet is another site's.
    """
    graph = build_graph(site_from_card(site))
    empties = procedure.season == "shutdown"
    checked = check_on(
        lay_piping(graph),
        procedure,
        agreed=agreed,
        start=start,
        levels=levels_after(graph, procedure) if empties else None,
    )
    left = None
    if empties or procedure.season == "frost_night":
        ending = checked.end.standing.positions
        left = water_left(
            graph,
            ending if empties else positions_run_down(procedure, ending),
            sheet=sheet,
            done_rows={step.row for step in procedure.steps if step.row},
            units=units,
        )
    return ReportedList(
        site,
        checked,
        left,
        _figures(checked, left),
        without_repeats((*procedure.warnings, *checked.warnings, *_broken(checked))),
    )


def list_as_json(reported: ReportedList) -> dict[str, object]:
    """Return the object of ``procedure --json``, format ``procedure/1``.

    Parameters
    ----------
    reported : ReportedList
        The list. [SI]

    Returns
    -------
    dict
        As in the contract; each step has its ``block``, ``key`` and the ``row`` of the
        sheet besides. ``water_left`` is null for a list that fills the site. [-]
    """
    checked, left = reported.checked, reported.left
    return {
        "format": "procedure/1",
        "site": reported.site.id,
        "season": checked.procedure.season,
        "steps": [_step(each) for each in checked.steps],
        "checks": [each.as_json() for each in checked.checks],
        "end_state": dict(checked.end.standing.positions),
        "stays_open": [
            {"id": each.id, "why": each.why} for each in checked.procedure.stays_open
        ],
        "water_left": water_left_as_json(left) if left else None,
        "figures": {key: each.as_json() for key, each in reported.figures.items()},
        "warnings": [each.as_json() for each in reported.warnings],
    }


def _step(each: CheckedStep) -> dict[str, object]:
    step = each.step
    return {
        "n": each.n,
        "key": step.key,
        "block": step.block,
        "act": step.act,
        "on": step.on,
        "to": step.to,
        "text": step.text,
        "why": step.why,
        "cautions": list(step.cautions),
        "source": step.source,
        "minutes": step.minutes,
        "row": step.row,
        "state_after": [change.as_json() for change in each.state_after],
    }


def _broken(checked: CheckedProcedure) -> list[Warning]:
    """Say each broken rule among the warnings too."""
    steps = checked.procedure.steps
    return [
        Warning(
            "breaks_rule",
            f"Rule {check.rule.key} is broken at step {check.at_step}: {check.text}",
            (steps[check.at_step - 1].key,) if check.at_step else (),
        )
        for check in checked.broken
    ]


def _figures(checked: CheckedProcedure, left: WaterLeft | None) -> dict[str, Figure]:
    """Return the figures that the list's sentences rest on."""
    found: dict[str, Figure] = dict(left.figures) if left else {}
    if checked.procedure.season != "shutdown":
        return found
    piping = checked.start.standing.piping
    positions = dict(checked.start.standing.positions)
    for step in checked.procedure.steps:
        positions |= {change.element: change.position for change in step.changes}
        if step.act == "prove_holding":
            standing = stand(piping, positions)
            found[f"refill_s:{step.on}"] = time_to_refill(piping, standing, step.on)
    return found

"""The spring list of a site, compiled from what autumn left."""

from datetime import datetime
from typing import Final

from maintenance.engine.figure import Warning
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.beginning import begin
from maintenance.engine.procedure.checker import check_on
from maintenance.engine.procedure.piping import lay_piping
from maintenance.engine.procedure.startup import closing, control, looks
from maintenance.engine.procedure.startup.assemblies import seat_assemblies
from maintenance.engine.procedure.startup.autumn import (
    AutumnRecord,
    left_positions,
    record_warnings,
)
from maintenance.engine.procedure.startup.choices import StartupChoices
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.procedure.startup.fill_plan import Fill, plan_fills
from maintenance.engine.procedure.startup.fill_ways import by_hand
from maintenance.engine.procedure.startup.filling import keep_out, let_water_in
from maintenance.engine.procedure.startup.leak_test import look_for_leaks
from maintenance.engine.procedure.startup.walk import walk_zones
from maintenance.engine.procedure.step import Procedure
from maintenance.engine.site import Site
from maintenance.engine.site.card import site_from_card

FOREIGN: Final = ("I1", "I2", "I3")
"""The rules that keep foreign water out of drinking water."""


def compile_startup(
    site: Site,
    *,
    autumn: AutumnRecord | None = None,
    now: datetime | None = None,
    choices: StartupChoices | None = None,
) -> Procedure:
    """Compile the spring list of a site.

    Parameters
    ----------
    site : Site
        As recorded, checked. [-]
    autumn : AutumnRecord, optional
        What the closed autumn list left; without it the winter positions are mirrored,
        and the list says so. [-]
    now : datetime, optional
        When the work begins, for times of day; without it only durations. [-]
    choices : StartupChoices, optional
        Filling speed, leak test, last spring's flows. [-]

    Returns
    -------
    Procedure
        Every element ends in its summer position. [-]

    Raises
    ------
    InputError
        If the autumn record names a position that its element has not.

    Notes
    -----
    The order: questions, a look, controllers with programmes held, what was taken out,
    everything that stands open shut, the way opened, the water let in with the highest
    outlet open, assemblies, leak test, zones, programmes last.
    """
    chosen = choices or StartupChoices()
    piping = lay_piping(build_graph(site_from_card(site)))
    left = left_positions(piping, autumn)
    fills = plan_fills(piping, left, chosen)
    draft = Draft(piping, begin(piping, "startup", left), now)
    draft.warnings += record_warnings(piping, autumn)
    looks.ask_about_autumn(draft, autumn)
    looks.look_round(draft, autumn, chosen)
    control.hold_programmes(draft)
    closing.refit_parts(draft)
    turned = [fill.way.turned for fill in fills]
    outlets = {outlet.element for fill in fills for outlet in fill.outlets}
    closing.shut_gates(draft, _gates_to_shut(fills))
    closing.shut_openings(draft, but=outlets)
    closing.open_the_way(draft, but=turned)
    kept_out: list[str] = []
    let_in: list[Fill] = []
    waiting = list(fills)
    while waiting:
        fill = waiting.pop(0)
        kept = _let_in_unless_foreign(draft, fill)
        if not kept:
            let_in.append(fill)
            continue
        # What it would have filled, and let the air out of, is left to those after it.
        kept_out += kept
        after = {each.way.turned for each in waiting}
        again = plan_fills(piping, left, chosen, kept_out=kept_out)
        waiting = [each for each in again if each.way.turned in after]
    closing.set_the_rest(draft, but=kept_out)
    refitted = (key for key, word in left.items() if word == "removed")
    seat_assemblies(draft, frozenset(refitted))
    look_for_leaks(draft, tuple(let_in), chosen)
    walk_zones(draft, autumn, chosen)
    control.give_back_programmes(draft)
    return draft.finished("startup")


def _gates_to_shut(fills: tuple[Fill, ...]) -> list[tuple[str, str]]:
    return [(f.way.turned, f.way.source) for f in fills if f.way.shut_first]


def _let_in_unless_foreign(draft: Draft, fill: Fill) -> list[str]:
    """Let a source in, or leave it shut where its water would get where it must not."""
    trial = draft.twin()
    let_water_in(trial, fill)
    for pump in fill.way.pumps:
        if by_hand(draft.piping, pump):
            trial.add("run", pump, "Run it.", during=[(pump, "on")])
    steps = Procedure("startup", tuple(trial.steps))
    checked = check_on(draft.piping, steps, start=draft.state)
    foreign = [each for each in checked.broken if each.rule.key in FOREIGN]
    if not foreign:
        let_water_in(draft, fill)
        draft.warnings += _fill_warnings(fill)
        return []
    keep_out(draft, fill, foreign[0].text)
    pumps = [pump for pump in fill.way.pumps if draft.positions[pump] != "on"]
    return [fill.way.turned, *pumps]


def _fill_warnings(fill: Fill) -> list[Warning]:
    found = []
    amounts = fill.amounts
    if amounts.unknown:
        found.append(
            Warning(
                "fill_unknown",
                "How long the filling takes cannot be worked out: enter the size of "
                "these pipes.",
                amounts.unknown,
            )
        )
    if amounts.assumed:
        found.append(
            Warning(
                "fill_assumed",
                "Unknown pipe is taken with the largest bore of its class, so that the "
                "filling may run faster in it than it says.",
                amounts.assumed,
            )
        )
    if fill.stuck:
        found.append(
            Warning(
                "air_has_no_way",
                closing.AIR_STAYS,
                fill.stuck,
            )
        )
    return found

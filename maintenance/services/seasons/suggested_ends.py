"""How zones seem to have ended, from their steps; a person takes it over, or not."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from maintenance.engine.procedure.progress import ListedStep, suggested_end
from maintenance.models import Account
from maintenance.services.seasons.kept_list import StepLine, WholeList
from maintenance.services.seasons.queries import season_list
from maintenance.services.seasons.zone_ends import ZoneTold, set_zone_outcomes


def suggested_ends(whole: WholeList) -> tuple[ZoneTold, ...]:
    """Return what the steps say of the zones that have no outcome yet, in no query.

    The reasons of what was skipped are the note. A zone whose steps are not all
    reported, or that has none, is left out.
    """
    found = []
    for zone in whole.zones_left:
        lines = steps_of_zone(whole, zone.zone)
        end = suggested_end(_as_rows(whole, zone.zone, lines), zone.zone)
        if end is not None:
            note = "; ".join(dict.fromkeys(_reasons(lines)))
            found.append(ZoneTold(zone=zone.zone, outcome=end, note=note))
    return tuple(found)


def take_over_ends(account: Account, *, list_id: int, now: datetime, actor: str) -> int:
    """Store what the steps say of the zones; return how many were new.

    Raises
    ------
    NotFoundError
        If there is no such list.
    ConflictError
        If the list is closed, or someone told another outcome meanwhile.
    """
    told = suggested_ends(season_list(account, list_id=list_id))
    return set_zone_outcomes(account, list_id=list_id, told=told, now=now, actor=actor)


def steps_of_zone(whole: WholeList, zone: str) -> tuple[StepLine, ...]:
    """Return the steps that carry out a zone: its row of air, or its run in spring."""
    standing = [line for line in whole.all_steps if not line.gone]
    if whole.head.season == "startup":
        runs = (s for s in standing if s.step.act == "run" and s.step.on == zone)
        return tuple(runs)
    return tuple(line for line in standing if line.step.row == zone)


def _as_rows(
    whole: WholeList, zone: str, lines: Sequence[StepLine]
) -> list[ListedStep]:
    """Return the zone's steps as the engine takes them, each as a row of the zone."""
    ids = {line.id for line in lines}
    return [
        replace(each, step=replace(each.step, row=zone))
        for each in whole.listed
        if each.row in ids
    ]


def _reasons(lines: Sequence[StepLine]) -> list[str]:
    return [
        line.report.reason
        for line in lines
        if line.report and line.report.outcome == "skipped"
    ]

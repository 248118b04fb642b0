"""The site changed: what that means for an open list, and the list rebuilt."""

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction

from maintenance.engine.procedure.progress import ListedStep
from maintenance.engine.procedure.rebuild import Difference, difference, rebuild
from maintenance.engine.procedure.step_record import step_to_record
from maintenance.models import Account, ListStep, SeasonList, ZoneOutcome
from maintenance.services.errors import ServiceError
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.seasons.compiled import Compiled
from maintenance.services.seasons.figures import keep_figures
from maintenance.services.seasons.holding import hold_open_list, refuse_other_site
from maintenance.services.seasons.open_list import refuse_unfit, zones_of
from maintenance.services.seasons.read_lists import SEASON_NAMES, get_list, read_one
from maintenance.services.seasons.step_rows import keep_order, new_step, rows_in_order


def list_difference(
    account: Account, *, list_id: int, compiled: Compiled
) -> Difference:
    """Return what a rebuild would change, in four queries.

    Parameters
    ----------
    account : Account
        Whose list it is.
    list_id : int
        The list.
    compiled : Compiled
        The list as compiled from the site as it is now; hand the same one to
        `rebuild_season_list` once a person has seen the difference.

    Raises
    ------
    NotFoundError
        If there is no such list.
    ServiceError
        If it was compiled for another season, or is empty.
    """
    row = get_list(account, list_id)
    _refuse_another_season(row, compiled)
    return difference(read_one(account, row).listed, compiled.procedure.steps)


def rebuild_season_list(
    account: Account, *, list_id: int, compiled: Compiled, now: datetime, actor: str
) -> None:
    """Put a list compiled anew in the place of an open one; what was done stays.

    Parameters
    ----------
    account : Account
        Whose list it is.
    list_id : int
        The list.
    compiled : Compiled
        The list whose difference was seen.
    now : datetime
        When this happens.
    actor : str
        Who does it.

    Raises
    ------
    NotFoundError
        If there is no such list.
    ServiceError
        If it was compiled for another season, is empty, or the site is retired.
    ConflictError
        If the list is closed, or the site was changed since it was compiled.
    """
    act = Act(actor, now)
    with transaction.atomic():
        row = hold_open_list(account, list_id)
        _refuse_another_season(row, compiled)
        refuse_other_site(row.site, compiled.site_version)
        listed = read_one(account, row).listed
        _keep_steps(row, rebuild(listed, compiled.procedure.steps), act)
        _keep_zones(account, row, act)
        columns = compiled.columns()
        for name, value in columns.items():
            setattr(row, name, value)
        change_rows(SeasonList, [row], list(columns), act)
        keep_figures(row, compiled, act)


def _refuse_another_season(row: SeasonList, compiled: Compiled) -> None:
    refuse_unfit(compiled.procedure.steps)
    if compiled.procedure.season != row.season:
        raise ServiceError(
            f"This is a {SEASON_NAMES[row.season]}, and a "
            f"{SEASON_NAMES[compiled.procedure.season]} cannot take its place: compile "
            "it for the same season."
        )


def _keep_steps(row: SeasonList, rebuilt: Iterable[ListedStep], act: Act) -> None:
    """Write the rows of a rebuilt list; a key is free before another step takes it."""
    kept = {each.pk: each for each in rows_in_order(row)}
    ordered: list[ListStep] = []
    leaving: list[ListStep] = []
    changed: list[ListStep] = []
    added: list[ListStep] = []
    for place, each in enumerate(rebuilt):
        if each.row is None:
            added.append(new_step(row, each.step, place, placed=each.placed))
            ordered.append(added[-1])
            continue
        step = kept[each.row]
        ordered.append(step)
        if each.gone and step.retired_at is None:
            step.retired_at = act.now
            leaving.append(step)
        elif not each.gone:
            record = step_to_record(each.step)
            if step.retired_at is not None or step.record != record:
                step.retired_at, step.record = None, record
                changed.append(step)
    change_rows(ListStep, leaving, ["retired_at"], act)
    change_rows(ListStep, changed, ["retired_at", "record"], act)
    add_rows(ListStep, added, act)
    keep_order(ordered)


def _keep_zones(account: Account, row: SeasonList, act: Act) -> None:
    """Let the list's zones follow the site's; one that is gone keeps its outcome."""
    kept = {each.zone: each for each in ZoneOutcome.objects.filter(list=row)}
    added: list[ZoneOutcome] = []
    changed: list[ZoneOutcome] = []
    for place, zone in enumerate(zones_of(account, row)):
        ended = kept.pop(zone.key, None)
        if ended is None:
            added.append(
                ZoneOutcome(list=row, zone=zone.key, name=zone.name, rank=place)
            )
        elif (ended.name, ended.rank, ended.retired_at) != (zone.name, place, None):
            ended.name, ended.rank, ended.retired_at = zone.name, place, None
            changed.append(ended)
    leaving = [each for each in kept.values() if each.retired_at is None]
    for each in leaving:
        each.retired_at = act.now
    change_rows(ZoneOutcome, [*changed, *leaving], ["name", "rank", "retired_at"], act)
    add_rows(ZoneOutcome, added, act)

"""A list beside the one of the season before: steps, zones and readings."""

from collections.abc import Iterable
from dataclasses import dataclass

from maintenance.engine.procedure.step import Season
from maintenance.models import Account, SeasonList, Site
from maintenance.services.inventory.claims import get_row
from maintenance.services.seasons.kept_list import (
    ListHead,
    StepLine,
    WholeList,
    ZoneLine,
)
from maintenance.services.seasons.read_lists import read_whole


@dataclass(frozen=True, slots=True)
class StepBeside:
    """One step in both lists; None where a list has no such step."""

    key: str
    this: StepLine | None
    last: StepLine | None


@dataclass(frozen=True, slots=True)
class ZoneBeside:
    """One zone in both lists; None where a list has no such zone."""

    zone: str
    this: ZoneLine | None
    last: ZoneLine | None


@dataclass(frozen=True, slots=True)
class TwoYears:
    """A list and the one of the same season before it, if there is one."""

    this: ListHead
    last: ListHead | None
    steps: tuple[StepBeside, ...]
    zones: tuple[ZoneBeside, ...]


def this_year_beside_last(
    account: Account, *, site_key: str, season: Season
) -> TwoYears | None:
    """Return the newest list of a season beside the one before, in five queries.

    Steps are the same if their keys are. They stand in this year's order; those of
    last year only come after, in last year's. None if there is no such list.
    """
    site = get_row(Site, account, site_key)
    rows = SeasonList.objects.for_account(account).filter(site=site, season=season)
    newest = rows.select_related("site").order_by("-year", "-opened_at", "-pk")
    lists = read_whole(account, list(newest[:2]))
    if not lists:
        return None
    this, last = lists[0], lists[1] if len(lists) > 1 else None
    own_steps, former_steps = _steps(this), _steps(last)
    own_zones, former_zones = _zones(this), _zones(last)
    return TwoYears(
        this=this.head,
        last=last.head if last else None,
        steps=tuple(
            StepBeside(key, own_steps.get(key), former_steps.get(key))
            for key in _keys(own_steps, former_steps)
        ),
        zones=tuple(
            ZoneBeside(key, own_zones.get(key), former_zones.get(key))
            for key in _keys(own_zones, former_zones)
        ),
    )


def _steps(whole: WholeList | None) -> dict[str, StepLine]:
    """Return steps by key; of several the one that stands, else the last reported."""
    found: dict[str, StepLine] = {}
    for line in whole.steps if whole else ():
        if line.step.key not in found or found[line.step.key].gone:
            found[line.step.key] = line
    return found


def _zones(whole: WholeList | None) -> dict[str, ZoneLine]:
    return {line.zone: line for line in whole.zones} if whole else {}


def _keys(*found: Iterable[str]) -> Iterable[str]:
    return dict.fromkeys(key for each in found for key in each)

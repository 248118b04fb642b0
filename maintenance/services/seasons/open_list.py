"""A season's list is opened: stored with the figures that it uses."""

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Final

from django.db import IntegrityError, transaction

from maintenance.engine.procedure.step import Step
from maintenance.models import Account, ListStep, SeasonList, Site, Zone, ZoneOutcome
from maintenance.services.errors import ConflictError, ServiceError
from maintenance.services.inventory.claims import get_row
from maintenance.services.inventory.rows import Act, add_rows
from maintenance.services.seasons.compiled import Compiled
from maintenance.services.seasons.figures import keep_figures
from maintenance.services.seasons.holding import refuse_other_site
from maintenance.services.seasons.read_lists import SEASON_NAMES
from maintenance.services.seasons.step_rows import OWN_PREFIX, new_step

WITH_ZONES: Final = ("shutdown", "startup")
"""On a frost night only the exposed parts are seen to, and no zone ends."""

FIRST_YEAR, LAST_YEAR = 1900, 2200


def open_season_list(
    account: Account,
    *,
    site_key: str,
    compiled: Compiled,
    year: int,
    now: datetime,
    actor: str,
    notes: str = "",
) -> int:
    """Open a list and return its number.

    Parameters
    ----------
    account : Account
        Whose site it is.
    site_key : str
        The site.
    compiled : Compiled
        The list as compiled from that site.
    year : int
        The year that the season belongs to.
    now : datetime
        When this happens.
    actor : str
        Who does it.
    notes : str, optional
        What is to be remembered about it.

    Raises
    ------
    NotFoundError
        If the account keeps no such site.
    ServiceError
        If the list is empty, the year is none, or the site is retired.
    ConflictError
        If the site was changed since, or such a list is open already.
    """
    season = compiled.procedure.season
    refuse_unfit(compiled.procedure.steps)
    if not FIRST_YEAR <= year <= LAST_YEAR:
        raise ServiceError(f"{year} is no year of a season: write one like {now.year}.")
    site = get_row(Site, account, site_key)
    refuse_other_site(site, compiled.site_version)
    act = Act(actor, now)
    with transaction.atomic():
        row = SeasonList(
            site=site,
            season=season,
            year=year,
            notes=notes,
            opened_at=now,
            opened_by=actor,
            **compiled.columns(),
        )
        try:
            with transaction.atomic():
                add_rows(SeasonList, [row], act)
        except IntegrityError as fault:
            raise ConflictError(
                f"A {SEASON_NAMES[season]} {year} of this site is open already: go on "
                "with that one, or close it first."
            ) from fault
        keep_figures(row, compiled, act)
        steps = enumerate(compiled.procedure.steps)
        add_rows(ListStep, [new_step(row, step, rank) for rank, step in steps], act)
        zones = [
            ZoneOutcome(list=row, zone=zone.key, name=zone.name, rank=rank)
            for rank, zone in enumerate(zones_of(account, row))
        ]
        add_rows(ZoneOutcome, zones, act)
    return row.pk


def refuse_unfit(steps: Sequence[Step]) -> None:
    """Refuse a list that cannot be kept."""
    if not steps:
        raise ServiceError(
            "This list has no steps: there is nothing on the site to see to, so look "
            "whether its parts are recorded."
        )
    keys = [step.key for step in steps]
    twins = sorted({key for key in keys if keys.count(key) > 1})
    own = sorted(key for key in keys if key.startswith(OWN_PREFIX))
    if twins or own:
        raise ServiceError(
            f'This list cannot be kept: "{(twins + own)[0]}" is no name for one '
            "compiled step; compile it again."
        )


def zones_of(account: Account, row: SeasonList) -> Iterable[Zone]:
    """Return the zones that must end with an outcome, in order; one query."""
    if row.season not in WITH_ZONES:
        return Zone.objects.none()
    return Zone.objects.for_account(account).standing().filter(site_id=row.site_id)

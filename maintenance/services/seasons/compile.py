"""A season's list compiled from the site as it is kept: what a list is opened from."""

from dataclasses import replace
from datetime import datetime

from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.network.graph import Graph, build_graph
from maintenance.engine.procedure.checker import check_procedure
from maintenance.engine.procedure.frost_night import compile_frost_night
from maintenance.engine.procedure.frost_undo import compile_frost_undo
from maintenance.engine.procedure.piping import lay_piping
from maintenance.engine.procedure.positions import Positions, summer_positions
from maintenance.engine.procedure.shutdown.compile import compile_shutdown
from maintenance.engine.procedure.startup.autumn import left_positions
from maintenance.engine.procedure.startup.compiler import compile_startup
from maintenance.engine.procedure.step import Procedure, Season
from maintenance.engine.site import Site
from maintenance.engine.site.card import site_from_card
from maintenance.models import Account
from maintenance.services.blowout import sheets_of
from maintenance.services.inventory import queries as inventory
from maintenance.services.seasons.choices import (
    ListChoices,
    choices_from_record,
    choices_to_record,
)
from maintenance.services.seasons.compiled import Compiled
from maintenance.services.seasons.former import last_night, last_spring_flows
from maintenance.services.seasons.kept_list import WholeList
from maintenance.services.seasons.queries import autumn_record

USUAL = ListChoices()


def compile_list(
    account: Account,
    *,
    site_key: str,
    season: Season,
    compressor: str | None = None,
    choices: ListChoices = USUAL,
    now: datetime,
) -> Compiled:
    """Compile the list of a season from the site as it is now.

    Parameters
    ----------
    account : Account
        Whose site it is.
    site_key : str
        The site.
    season : str
        ``shutdown``, ``startup``, ``frost_night`` or ``frost_undo``.
    compressor : str or None
        The compressor that comes, for a shutdown; None drains only.
    choices : ListChoices
        What a person decided.
    now : datetime
        When this happens: which autumn and which night came last. The steps tell no
        time of day by it, for a list may be carried out days later.

    Raises
    ------
    NotFoundError
        If the site or the compressor is not kept in this account.
    InputError
        If a choice does not fit the site.
    """
    # Read first: a site that changes in between is then refused, not taken for older.
    version = inventory.site_version(account, key=site_key)
    site = inventory.site(account, key=site_key)
    graph = build_graph(site_from_card(site))
    sheet: Sheet | None = None
    start: Positions = summer_positions(graph)
    if season == "shutdown":
        sheet = _sheet(account, site, compressor, choices)
        procedure = compile_shutdown(
            site, sheet=sheet, choices=choices.shutdown, units=choices.units
        )
    elif season == "startup":
        procedure, start = _startup(account, site, graph, choices, now)
    elif season == "frost_night":
        procedure = compile_frost_night(site, low_at=choices.low_at)
    else:
        night = last_night(account, site_key=site_key) or compile_frost_night(site)
        procedure = compile_frost_undo(site, night=night)
        start = _after(site, night)
    return Compiled(
        procedure=procedure,
        site_version=version,
        start=start,
        sheet=sheet,
        choices=choices_to_record(choices),
    )


def compile_again(account: Account, whole: WholeList) -> Compiled:
    """Compile a list that is kept once more, with the choices that it was made with.

    It raises what `compile_list` raises.
    """
    return compile_list(
        account,
        site_key=whole.head.site_key,
        season=whole.head.season,
        compressor=whole.head.compressor or None,
        choices=choices_from_record(whole.choices),
        now=whole.head.opened_at,
    )


def _sheet(
    account: Account, site: Site, compressor: str | None, choices: ListChoices
) -> Sheet | None:
    if compressor is None or not (site.zones or site.card):
        return None
    machine = inventory.compressor(account, key=compressor)
    (sheet,) = sheets_of(site, [machine], units=choices.units)
    return sheet


def _startup(
    account: Account, site: Site, graph: Graph, choices: ListChoices, now: datetime
) -> tuple[Procedure, Positions]:
    closed = autumn_record(account, site_key=site.id, now=now)
    autumn = closed.record if closed else None
    flows = last_spring_flows(account, site_key=site.id, now=now)
    chosen = replace(choices.startup, last_spring_m3_per_s=flows)
    procedure = compile_startup(site, autumn=autumn, choices=chosen)
    return procedure, left_positions(lay_piping(graph), autumn)


def _after(site: Site, night: Procedure) -> Positions:
    return check_procedure(site_from_card(site), night).end.standing.positions

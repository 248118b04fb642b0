"""Season lists of the pages' tests: Larkmoor's shutdown and small ones, as compiled."""

from datetime import UTC, datetime, timedelta
from typing import Any

from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.positions import summer_positions
from maintenance.engine.procedure.shutdown.compile import compile_shutdown
from maintenance.engine.procedure.step import Procedure
from maintenance.engine.site import Site
from maintenance.engine.site.card import site_from_card
from maintenance.engine.units import UnitSystem
from maintenance.models import Account
from maintenance.services.inventory.queries import site_version
from maintenance.services.inventory.store import store_site
from maintenance.services.seasons.carry_out import Tick, record_steps
from maintenance.services.seasons.choices import ListChoices, choices_to_record
from maintenance.services.seasons.close import close_season_list
from maintenance.services.seasons.compiled import Compiled
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.queries import season_list
from maintenance.services.seasons.zone_ends import ZoneTold, set_zone_outcomes
from tests.documents.season import sheet_of_larkmoor, shutdown_of_larkmoor
from tests.fixtures.demo import larkmoor

SUMMER = datetime(2025, 7, 1, 8, 0, tzinfo=UTC)
MORNING = datetime(2026, 10, 14, 14, 0, tzinfo=UTC)
A_YEAR = timedelta(days=364)


def opened_larkmoor(
    account: Account, *, now: datetime = MORNING, units: UnitSystem = "us"
) -> int:
    """Keep Larkmoor, open its shutdown list and return the list's number."""
    store_site(larkmoor(), account=account, now=SUMMER)
    compiled = _compiled(
        account,
        larkmoor(),
        shutdown_of_larkmoor(units),
        sheet_of_larkmoor(units),
        units,
    )
    return _opened(account, compiled, "larkmoor", now)


def opened_drain_only(account: Account, site: Site, *, now: datetime = MORNING) -> int:
    """Keep a site, open its shutdown without air and return the list's number."""
    store_site(site, account=account, now=SUMMER)
    compiled = _compiled(account, site, compile_shutdown(site))
    return _opened(account, compiled, site.id, now)


def carry_out(
    account: Account, list_id: int, *, now: datetime, psi: int = 44, steps: int = 9999
) -> None:
    """Do the first steps of a list, with a reading and a time at each row of air."""
    lines = season_list(account, list_id=list_id).steps_left[:steps]
    ticks = []
    for place, line in enumerate(lines):
        told: dict[str, Any] = {}
        if line.step.act == "blow":
            told = {"reading": f"{psi} psi", "seconds": 60.0 + psi}
        tick = Tick(
            step=line.id,
            client_id=f"first-{list_id}",
            outcome="done",
            who="Ben",
            done_at=now + timedelta(minutes=place),
            **told,
        )
        ticks.append(tick)
    evening = now + timedelta(hours=9)
    record_steps(account, list_id=list_id, ticks=ticks, now=evening, actor="Ben")


def closed(account: Account, list_id: int, *, now: datetime) -> None:
    """Do all that is left of a list and close it."""
    carry_out(account, list_id, now=now, psi=41)
    left = season_list(account, list_id=list_id).zones_left
    told = [ZoneTold(zone=zone.zone, outcome="done") for zone in left]
    evening = now + timedelta(hours=9)
    set_zone_outcomes(account, list_id=list_id, told=told, now=evening, actor="Ben")
    close_season_list(account, list_id=list_id, now=evening, actor="Ann")


def _opened(account: Account, compiled: Compiled, key: str, now: datetime) -> int:
    return open_season_list(
        account,
        site_key=key,
        compiled=compiled,
        year=now.year,
        now=now,
        actor="Ann",
    )


def _compiled(
    account: Account,
    site: Site,
    procedure: Procedure,
    sheet: Sheet | None = None,
    units: UnitSystem = "us",
) -> Compiled:
    return Compiled(
        procedure=procedure,
        site_version=site_version(account, key=site.id),
        start=summer_positions(build_graph(site_from_card(site))),
        sheet=sheet,
        choices=choices_to_record(ListChoices(units=units)),
    )

"""Blow-out sheets of what is kept: one site, up to three compressors."""

from collections.abc import Iterable, Sequence
from functools import lru_cache

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.blowout.remedies import ZoneHelp, help_for_zone
from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.site import Compressor, Site
from maintenance.engine.units import UnitSystem
from maintenance.models import Account
from maintenance.services.errors import ServiceError
from maintenance.services.inventory import queries

MOST_COMPRESSORS = 3
KEPT_SHEETS = 24
"""Sheets kept in memory: a page that is printed or looked at again comes at once."""


def sheets(
    account: Account,
    *,
    site_key: str,
    compressor_keys: Sequence[str],
    setting_pa: float | None = None,
    passes: int | None = None,
    air_temperature_k: float | None = None,
    zone: str | None = None,
    longest_pass_s: float | None = None,
) -> list[Sheet]:
    """Compute the sheet of a site with each compressor, in six queries and more.

    Its sentences are written in US units.

    Raises
    ------
    NotFoundError
        If the site or a compressor is not kept in this account.
    ServiceError
        If more than three compressors are named.
    InputError
        If a setting is above a limit, or an option cannot be followed.
    """
    site = queries.site(account, key=site_key)
    machines = [queries.compressor(account, key=key) for key in compressor_keys]
    return sheets_of(
        site,
        machines,
        setting_pa=setting_pa,
        passes=passes,
        air_temperature_k=air_temperature_k,
        zone=zone,
        longest_pass_s=longest_pass_s,
    )


def sheets_of(
    site: Site,
    compressors: Iterable[Compressor],
    *,
    setting_pa: float | None = None,
    passes: int | None = None,
    air_temperature_k: float | None = None,
    zone: str | None = None,
    longest_pass_s: float | None = None,
    units: UnitSystem = "us",
) -> list[Sheet]:
    """Compute the sheet of a site that was read already.

    The arguments are those of `sheets`; ``units`` are those of the sentences.
    """
    machines = tuple(dict.fromkeys(compressors))
    if len(machines) > MOST_COMPRESSORS:
        raise ServiceError(
            f"{len(machines)} compressors are chosen: a sheet compares at most "
            f"{MOST_COMPRESSORS}."
        )
    options = (setting_pa, passes, air_temperature_k, zone, longest_pass_s, units)
    return [_sheet(site, machine, *options) for machine in machines]


@lru_cache(maxsize=KEPT_SHEETS)
def help_of(
    site: Site,
    compressor: Compressor,
    *,
    zone: str,
    air_temperature_k: float | None = None,
    units: UnitSystem = "us",
) -> ZoneHelp:
    """Try what could help one zone of a site that was read already.

    Raises
    ------
    InputError
        If the site has no such zone.
    """
    return help_for_zone(
        site,
        compressor,
        zone=zone,
        air_temperature_k=air_temperature_k,
        units=units,
    )


@lru_cache(maxsize=KEPT_SHEETS)
def _sheet(
    site: Site,
    compressor: Compressor,
    setting_pa: float | None,
    passes: int | None,
    air_temperature_k: float | None,
    zone: str | None,
    longest_pass_s: float | None,
    units: UnitSystem,
) -> Sheet:
    return make_sheet(
        site,
        compressor,
        setting_pa=setting_pa,
        passes=passes,
        air_temperature_k=air_temperature_k,
        zone=zone,
        longest_pass_s=longest_pass_s,
        units=units,
    )

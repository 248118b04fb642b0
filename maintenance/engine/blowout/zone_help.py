"""What would help one zone, beside what it is now and what was tried in vain."""

from dataclasses import dataclass

from maintenance.engine.blowout.compute import blow
from maintenance.engine.blowout.prepare import prepare
from maintenance.engine.blowout.remedies import Frontier, Remedy, find_remedies
from maintenance.engine.blowout.sheet import RowSheet
from maintenance.engine.blowout.trials import Trial, what_to_try
from maintenance.engine.errors import InputError
from maintenance.engine.site import Compressor, Site
from maintenance.engine.site.card import lay_out
from maintenance.engine.units import UnitSystem


@dataclass(frozen=True, slots=True)
class ZoneHelp:
    """What was tried for a zone that is blown behind its main, with no zone before it.

    ``as_it_is`` is what the remedies are measured against; ``in_vain`` are those that
    do not help.
    """

    as_it_is: RowSheet
    remedies: tuple[Remedy, ...]
    in_vain: tuple[Trial, ...]
    frontier: tuple[Frontier, ...]


def help_for_zone(
    site: Site,
    compressor: Compressor,
    *,
    zone: str,
    air_temperature_k: float | None = None,
    units: UnitSystem = "us",
) -> ZoneHelp:
    """Try what could help one zone, and tell what does not.

    Parameters
    ----------
    site : Site
        As recorded, checked. [-]
    compressor : Compressor
        As recorded. [-]
    zone : str
        Id of the zone. [-]
    air_temperature_k : float, optional
        Temperature of air, ground and inlet. [K]
    units : str
        Units in which the sentences of the zone are written, ``us`` or ``si``. [-]

    Returns
    -------
    ZoneHelp
        The zone as it is, what helps, what does not, and the frontier. [SI]

    Raises
    ------
    InputError
        If the site has no such zone.
    """
    whole = lay_out(site)
    if zone not in {each.id for each in whole.zones}:
        raise InputError(f'There is no zone "{zone}" on this site.', input="zone")
    prepared = prepare(
        whole,
        compressor,
        air_temperature_k=air_temperature_k,
        alone=zone,
        units=units,
    )
    rows = blow(prepared).rows
    as_it_is = next(row for row in rows if row.row.key == zone)
    remedies, frontier = find_remedies(
        site, compressor, zone=zone, air_temperature_k=air_temperature_k
    )
    helping = {(each.act, each.on, each.value) for each in remedies}
    in_vain = tuple(
        trial
        for trial in what_to_try(whole, compressor, as_it_is)
        if (trial.act, trial.on, trial.value) not in helping
    )
    return ZoneHelp(as_it_is, remedies, in_vain, frontier)

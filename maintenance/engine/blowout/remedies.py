"""What would help a zone that does not clear, cheapest first, and the frontier.

Each remedy is tried for real: the site or the compressor is changed, and the zone is
computed again behind its main.
"""

from dataclasses import dataclass, replace

from maintenance.engine.blowout.compute import Blown, blow, blow_each
from maintenance.engine.blowout.prepare import Prepared, prepare
from maintenance.engine.blowout.sheet import RowSheet
from maintenance.engine.blowout.trials import Trial, what_to_try
from maintenance.engine.errors import InputError
from maintenance.engine.site import Compressor, Site
from maintenance.engine.site.card import lay_out
from maintenance.engine.units import Quantity, UnitSystem, parse_quantity

RANKS = ("cannot", "not_enough", "enough_with_rests", "enough", "too_much")
FRONTIER_RECEIVERS = ("0 gal", "30 gal", "120 gal")
WORTH_WHILE = 0.9
"""A remedy that changes no verdict counts if it leaves at most this share."""


@dataclass(frozen=True, slots=True)
class Remedy:
    """One remedy tried: what, on what, to which value, and what comes of it."""

    act: str
    on: str
    value: str
    verdict: str
    left_fraction_after: float | None
    text: str


@dataclass(frozen=True, slots=True)
class Frontier:
    """Least free air that is enough with a receiver; None where none is. [SI]."""

    receiver_m3: float
    free_air_m3_per_s: float | None


@dataclass(frozen=True, slots=True)
class ZoneHelp:
    """What was tried for a zone that is blown behind its main, with no zone before it.

    ``as_it_is`` is what the remedies are measured against; ``remedies`` are those
    that help, the cheapest first, ``in_vain`` those that do not.
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
        Units in which the sentences are written, ``us`` or ``si``. [-]

    Returns
    -------
    ZoneHelp
        The zone as it is, what helps, what does not, and free air against receiver.
        [SI]

    Raises
    ------
    InputError
        If the site has no such zone.
    """
    whole = lay_out(site)
    if zone not in {each.id for each in whole.zones}:
        raise InputError(f'There is no zone "{zone}" on this site.', input="zone")
    first = prepare(
        whole, compressor, air_temperature_k=air_temperature_k, alone=zone, units=units
    )
    base = _row_of(zone, blow(first))

    def again(
        changed: Site, machine: Compressor, setting_pa: float | None = None
    ) -> Prepared:
        own = {} if setting_pa is None else {zone: setting_pa}
        return prepare(
            changed,
            machine,
            air_temperature_k=air_temperature_k,
            alone=zone,
            fixed={**first.settings, **own},
        )

    trials = tuple(what_to_try(whole, compressor, base))
    sizes = [
        Quantity(parse_quantity(text, "volume"), text, "assumed")
        for text in FRONTIER_RECEIVERS
    ]
    cases = [again(t.site, t.compressor, t.setting_pa) for t in trials]
    cases += [again(whole, replace(compressor, receiver=size)) for size in sizes]
    blown = blow_each(cases, [*(t.passes for t in trials), *(None for _ in sizes)])
    rows = [_row_of(zone, each) for each in blown]
    tried = list(zip(trials, rows[: len(trials)], strict=True))
    return ZoneHelp(
        as_it_is=base,
        remedies=tuple(
            Remedy(t.act, t.on, t.value, row.verdict, _left(row), t.text)
            for t, row in tried
            if _helps(base, row)
        ),
        in_vain=tuple(t for t, row in tried if not _helps(base, row)),
        frontier=tuple(
            Frontier(size.value, row.least_free_air_m3_per_s)
            for size, row in zip(sizes, rows[len(trials) :], strict=True)
        ),
    )


def _row_of(zone: str, blown: Blown) -> RowSheet:
    return next(row for row in blown.rows if row.row.key == zone)


def _left(row: RowSheet) -> float | None:
    return row.passes[-1].left_fraction_after if row.passes else None


def _helps(base: RowSheet, row: RowSheet) -> bool:
    before, after = RANKS.index(base.verdict), RANKS.index(row.verdict)
    if after != before:
        return after > before
    was, left = _left(base), _left(row)
    return was is not None and left is not None and left < WORTH_WHILE * was


def remedies_as_json(found: ZoneHelp) -> dict[str, object]:
    """Return the contract's members for ``--remedies``.

    Parameters
    ----------
    found : ZoneHelp
        From `help_for_zone`. [SI]

    Returns
    -------
    dict
        ``remedies`` and ``frontier``. [-]
    """
    return {
        "remedies": [
            {
                "act": r.act,
                "on": r.on,
                "value": r.value,
                "verdict": r.verdict,
                "left_fraction_after": r.left_fraction_after,
                "text": r.text,
            }
            for r in found.remedies
        ],
        "frontier": [
            {"receiver_m3": f.receiver_m3, "free_air_m3_per_s": f.free_air_m3_per_s}
            for f in found.frontier
        ],
    }

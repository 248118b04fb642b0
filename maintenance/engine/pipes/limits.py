"""How hard air may press on a part of the system, and why.

The rating of a pipe is for water. Air stores far more energy at the same pressure,
so the rating alone never gives a limit: the caps of the trade come first.
"""

from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Final

from maintenance.engine.constants import STANDARD_GRAVITY, WATER_DENSITY
from maintenance.engine.errors import InputError
from maintenance.engine.pipes.derating import temperature_factor
from maintenance.engine.pipes.ratings import SHARE_WITHOUT_SURGE, share_without_surge
from maintenance.engine.units import UnitSystem, display

PSI: Final = 6894.757293168361

PUBLISHED_SPAN_PA: Final = (30.0 * PSI, 80.0 * PSI)
"""Lowest and highest working pressure that public advice on blowing out names."""

_COLORADO = (
    "Colorado State University Extension, fact sheet 4.719, as quoted at "
    "gardenguides.com/100407"
)
_COMMON = "common practice, no source"

PLASTICS: Final = ("PVC", "PE", "PE100", "PE3408", "PE4710", "unknown plastic")
PLACEMENTS: Final = ("buried", "above_ground", "indoors")

TRADE_CAPS: Final = MappingProxyType(
    {
        "PVC": ("rigid PVC", 80.0 * PSI, _COLORADO),
        "PE": ("PE", 50.0 * PSI, _COLORADO),
        "PE100": ("PE", 50.0 * PSI, _COLORADO),
        "PE3408": ("PE", 50.0 * PSI, _COLORADO),
        "PE4710": ("PE", 50.0 * PSI, _COLORADO),
        "unknown plastic": ("plastic of unknown kind", 50.0 * PSI, _COMMON),
        "unknown": ("pipe of unknown kind", 50.0 * PSI, _COMMON),
        "copper": ("copper", 80.0 * PSI, _COMMON),
        "steel": ("steel", 80.0 * PSI, _COMMON),
    }
)
"""Cap for each material: what it is called, pressure, source."""

UNSTATED_RISER_CAP_PA: Final = 50.0 * PSI
DRIP_CAP_PA: Final = 30.0 * PSI

STANDARDS_ON_COMPRESSED_AIR: Final = (
    (
        (
            "The standards for PVC pressure pipe cover liquids only and warn of the energy "
            "that compressed air stores and frees if the pipe breaks."
        ),
        "ASTM D1785, scope 1.2; ASTM D2241, scope 1.2 and note 1",
    ),
    (
        (
            "The plastics pipe makers' body accepts compressed air in plastic pipe only "
            "where it is buried or encased, unless the pipe is made for that service."
        ),
        "Plastics Pipe Institute, Recommendation B, 2005",
    ),
    (
        (
            "The US labour safety authority rejects above-ground PVC for compressed gas: "
            "it shatters into splinters."
        ),
        (
            "OSHA Hazard Information Bulletins, 20 May 1988 and 13 December 1990; "
            "memorandum, 28 February 1991"
        ),
    ),
    (
        "Two piping codes exclude PVC from compressed-gas service altogether.",
        (
            "ASME B31.3 A323.4.2 and B31.9 923.3.2, as quoted in an OSHA citation of "
            "17 April 2014"
        ),
    ),
)
"""What standards say, in our words, beside what the trade does: both are shown."""


@dataclass(frozen=True, slots=True)
class Reason:
    """One bound on the pressure: a sentence, the bound at the part, the source."""

    text: str
    limit_pa: float | None
    source: str


@dataclass(frozen=True, slots=True)
class PartLimit:
    """Highest gauge reading a part allows; None where no setting may be given."""

    limit_pa: float | None
    limited_by: str
    reasons: tuple[Reason, ...]


@lru_cache(maxsize=1024)
def part_limit(
    *,
    material: str,
    placement: str,
    rating_pa: float | None,
    temperature_k: float,
    drop_below_gauge_m: float = 0.0,
    unstated_riser: bool = False,
    local_limits: tuple[tuple[str, float], ...] = (),
    units: UnitSystem = "us",
) -> PartLimit:
    """Highest pressure at the gauge that one part allows.

    Parameters
    ----------
    material : str
        A key of `TRADE_CAPS` [text].
    placement : str
        One of `PLACEMENTS` [text].
    rating_pa : float or None
        Water rating at 73 degF; None where the standard gives none [Pa].
    temperature_k : float
        Temperature of the air and the ground [K].
    drop_below_gauge_m : float
        How far the part lies below the gauge; above it counts as 0 [m].
    unstated_riser : bool
        Whether heads stand on it by a riser that nobody described [-].
    local_limits : tuple of (str, float)
        Other limits: what sets it, and the gauge pressure [text, Pa].
    units : str
        Units in which the sentences are written, ``us`` or ``si`` [-].

    Returns
    -------
    PartLimit
        Limit, the sentence of the bound that set it, and every bound [Pa].

    Raises
    ------
    InputError
        If the plastic has no rating at the temperature, or the material no cap.

    Notes
    -----
    Least of trade cap, 0.72 of the derated water rating and local limits, less the
    static head of the water down to the part. Plastic that is not buried gets no
    limit at all.

    Examples
    --------
    >>> limit = part_limit(material="PE", placement="buried", rating_pa=80 * PSI,
    ...     temperature_k=283.15)
    >>> round(limit.limit_pa / PSI, 1)
    50.0
    """
    if material not in TRADE_CAPS:
        raise InputError(
            f'material: no cap is known for "{material}"; write one of: '
            f"{', '.join(TRADE_CAPS)}",
            input="material",
        )
    if placement != "buried" and material not in ("copper", "steel"):
        return _no_setting(material, placement)
    reasons = [_cap(material, units)]
    if rating_pa is not None:
        reasons.append(_rating(material, rating_pa, temperature_k, units))
    if unstated_riser:
        reasons.append(
            Reason(
                f"Risers under heads that nobody described: "
                f"{display(UNSTATED_RISER_CAP_PA, 'pressure', units)} at most.",
                UNSTATED_RISER_CAP_PA,
                _COMMON,
            )
        )
    reasons += [
        Reason(
            f"{text}: {display(pressure, 'pressure', units)} at most.",
            pressure,
            "entered for this site",
        )
        for text, pressure in local_limits
    ]
    least = min(reasons, key=_bound)
    head = STANDARD_GRAVITY * WATER_DENSITY * max(drop_below_gauge_m, 0.0)
    limited_by = least.text
    if head > 0.0:
        height = display(drop_below_gauge_m, "height", units)
        taken = display(head, "pressure", units)
        text = f"Water {height} deep down to the part takes {taken} off."
        reasons.append(Reason(text, _bound(least) - head, "hydrostatics"))
        limited_by = f"{least.text} {text}"
    return PartLimit(max(_bound(least) - head, 0.0), limited_by, tuple(reasons))


def _bound(reason: Reason) -> float:
    return float("inf") if reason.limit_pa is None else reason.limit_pa


def _cap(material: str, units: UnitSystem) -> Reason:
    name, cap, source = TRADE_CAPS[material]
    where = "" if material in ("copper", "steel") else " in the ground"
    most, low, high = (display(p, "pressure", units) for p in (cap, *PUBLISHED_SPAN_PA))
    return Reason(
        f"Custom for {name}{where}: {most} at most (published advice spans {low} to "
        f"{high}).",
        cap,
        source,
    )


def _rating(
    material: str, rating_pa: float, temperature_k: float, units: UnitSystem
) -> Reason:
    factor = temperature_factor(material, temperature_k)
    kept = share_without_surge(rating_pa, factor)
    return Reason(
        f"Water rating {display(rating_pa, 'pressure', units)} x {factor:.2f} at "
        f"{display(temperature_k, 'temperature', units)} x {SHARE_WITHOUT_SURGE} kept "
        f"for surge: {display(kept, 'pressure', units, 'down')} at most.",
        kept,
        "Missouri Livestock Watering Systems Handbook (USDA-NRCS series), 5.1, for 0.72",
    )


def _no_setting(material: str, placement: str) -> PartLimit:
    where = {"above_ground": "above ground", "indoors": "indoors"}.get(
        placement, placement
    )
    name = TRADE_CAPS[material][0]
    text = (
        f"No setting: {name} {where} is not meant to hold compressed air. Use another "
        "port, or bury or encase the pipe."
    )
    warnings = tuple(Reason(t, None, s) for t, s in STANDARDS_ON_COMPRESSED_AIR[1:3])
    reason = Reason(text, None, "Plastics Pipe Institute, Recommendation B, 2005")
    return PartLimit(None, text, (reason, *warnings))

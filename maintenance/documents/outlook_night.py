"""What the forecast does to each part: hours, shares of ice and chances, with method."""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np

from maintenance.documents.outlook_kinds import KINDS, Alike, harmed_at
from maintenance.documents.outlook_notes import Notes, Told
from maintenance.engine.climate.forecast import LEADS, days_ahead
from maintenance.engine.climate.forecast_errors import ForecastErrors, at_age
from maintenance.engine.climate.outlook_figures import METHOD, SOURCES
from maintenance.engine.climate.part_nights import CAUTIOUS
from maintenance.engine.climate.site_outlook import PartOutlook, SiteOutlook
from maintenance.engine.figure import Figure, Input
from maintenance.engine.units import UnitSystem, display

NOT_WITHIN: Final = "not within 24 h"
_ICE: Final = (
    "The heat balance of the part hour by hour over the next 24 hours of the forecast, "
    "with the heat that the water gives up as it turns to ice: air, wind, a share of the "
    "open sky, its wrap; one lump for each metre"
)
_ICE_SOURCES: Final = (
    "Churchill and Chu 1975; Churchill and Bernstein 1977 (films of air)",
    "enthalpy balance with latent heat, derived",
)
_CHANCE: Final = (
    "The chance that a night comes as cold as harms the part: the lowest air that the "
    "forecast gives, less its usual bias, with an error by the normal law"
)
_CHANCE_SOURCES: Final = (
    "Normal law; no published table of errors by day ahead was found",
)


@dataclass(frozen=True, slots=True)
class NightRow:
    """What the next 24 hours do to parts that nothing tells apart."""

    alike: Alike
    first_ice: Told
    half: Told
    shares: tuple[Told, Told, Told]


@dataclass(frozen=True, slots=True)
class LeadRow:
    """One of the days ahead: its lowest air, the error there, the worst chance."""

    begin: date
    end: date
    lowest: str
    chance: Told | None
    error: str
    bias: str
    learnt: str


def night_rows(
    groups: list[Alike], found: SiteOutlook, notes: Notes, system: UnitSystem
) -> list[NightRow]:
    """Return a row for each group that the night can reach."""
    rows = []
    for alike in groups:
        night = alike.one.tonight
        if night is None:
            continue

        def told(text: str, value: float | None, dimension: str, of: Alike) -> Told:
            figure = _ice_figure(of.one, found, value, dimension, system)
            return notes.told("Ice tonight", text, figure)

        first, half = night.first_ice_s, night.half_frozen_s
        shares = (night.ice_fraction, night.ice_colder, night.ice_coldest)
        rows.append(
            NightRow(
                alike,
                told(_hours(first, found), first, "hours", alike),
                told(_hours(half, found), half, "hours", alike),
                (
                    told(share_words(shares[0]), shares[0], "number", alike),
                    told(share_words(shares[1]), shares[1], "number", alike),
                    told(share_words(shares[2]), shares[2], "number", alike),
                ),
            )
        )
    return rows


def lead_rows(found: SiteOutlook, notes: Notes, system: UnitSystem) -> list[LeadRow]:
    """Return the days that the forecast is looked at; none without one to trust."""
    if found.forecast is None or found.age_s is None or not found.trusted:
        return []
    errors = at_age(found.errors, found.age_s)
    lowest = days_ahead(found.forecast, found.now).minimum_k
    rows = []
    for at in range(LEADS):
        air_k = float(lowest[at])
        known = np.isfinite(air_k)
        rows.append(
            LeadRow(
                begin=found.today + timedelta(days=at),
                end=found.today + timedelta(days=at + 1),
                lowest=display(air_k, "temperature", system) if known else "not known",
                chance=_worst(found, at, air_k, errors, notes, system),
                error=_apart(errors.sigma_k[at], system),
                bias=_apart(errors.bias_k[at], system),
                learnt=_learnt(errors, at),
            )
        )
    return rows


def act_at_told(found: SiteOutlook, notes: Notes) -> Told:
    """Tell the chance from which on acting pays."""
    act_at = found.terms.act_at
    figure = Figure(
        act_at,
        "number",
        METHOD,
        sources=SOURCES,
        inputs=(
            Input(
                "the crew needs",
                f"{found.terms.crew_days} days from the call",
                "assumed"
                if any("crew" in t for t in found.terms.assumed)
                else "stated",
            ),
        ),
        assumptions=tuple(
            f"nobody has stated {each}: common practice, no source"
            for each in found.terms.assumed
        ),
        in_range=act_at <= 1.0,
    )
    return notes.told("Chance to act at", share_words(act_at), figure)


def zone_of(found: SiteOutlook) -> ZoneInfo:
    """Return the time zone of the site."""
    return ZoneInfo(found.site.place.time_zone or "UTC")


def share_words(share: float) -> str:
    """Write a share in percent; a little is not nothing.

    Examples
    --------
    >>> share_words(0.0), share_words(0.004), share_words(0.126), share_words(0.998)
    ('0 %', 'under 1 %', '13 %', 'over 99 %')
    """
    percent = 100.0 * share
    if 0.0 < percent < 1.0:
        return "under 1 %"
    return "over 99 %" if 99.0 < percent < 100.0 else f"{percent:.0f} %"


def _hours(seconds: float | None, found: SiteOutlook) -> str:
    """Hours are rounded down: whoever hurries is rather early."""
    if seconds is None:
        return NOT_WITHIN
    then = (found.now + timedelta(seconds=seconds)).astimezone(zone_of(found))
    hours = f"in {int(seconds // 3600)} h" if seconds >= 3600.0 else "within the hour"
    return f"{hours}, {then:%H:%M}"


def _ice_figure(
    each: PartOutlook,
    found: SiteOutlook,
    value: float | None,
    dimension: str,
    system: UnitSystem,
) -> Figure:
    sigma = _apart(found.errors.sigma_k[0], system)
    soil = display(found.soil_k, "temperature", system)
    inputs = [
        Input("usual error of the first night", sigma, _learnt(found.errors, 0)),
        Input("much colder", f"{CAUTIOUS:g} of these, one night in twenty", "chosen"),
    ]
    if each.part.threshold_of == "box_air":
        origin = "assumed" if found.soil_assumed else "usual by the record"
        inputs.append(Input("soil at its depth", soil, origin))
    return Figure(
        value,
        dimension,
        _ICE,
        sources=_ICE_SOURCES,
        inputs=tuple(inputs),
        assumptions=(
            *each.part.assumed,
            "the sun is left out; a clear sky radiates as air that much colder would",
        ),
        missing="It does not come to that within 24 hours by the forecast.",
        rounding="down" if dimension == "hours" else "nearest",
    )


def _worst(
    found: SiteOutlook,
    at: int,
    air_k: float,
    errors: ForecastErrors,
    notes: Notes,
    system: UnitSystem,
) -> Told | None:
    known = [
        (float(each.chances[at]), each)
        for each in found.parts
        if each.chances is not None and np.isfinite(each.chances[at])
    ]
    if not known:
        return None
    chance, worst = max(known, key=lambda pair: pair[0])
    lowest = display(air_k, "temperature", system)
    figure = Figure(
        chance,
        "number",
        _CHANCE,
        sources=_CHANCE_SOURCES,
        inputs=(
            Input(
                "part", f"{worst.part.part}, {KINDS[worst.part.kind][0]}", "recorded"
            ),
            Input("harmed by", harmed_at(worst.part, system), "assumed from its kind"),
            Input("lowest air", lowest, "forecast"),
            Input(
                "usual error", _apart(errors.sigma_k[at], system), _learnt(errors, at)
            ),
            Input("bias", _apart(errors.bias_k[at], system), _learnt(errors, at)),
        ),
    )
    return notes.told("Chance of a damaging night", share_words(chance), figure)


def _apart(kelvin: float, system: UnitSystem) -> str:
    return display(kelvin, "temperature_difference", system, digits=1)


def _learnt(errors: ForecastErrors, at: int) -> str:
    nights = errors.nights[at]
    if errors.learnt[at]:
        return f"learnt here from {nights} nights"
    return f"assumed; {nights} night{'' if nights == 1 else 's'} so far, 60 needed"

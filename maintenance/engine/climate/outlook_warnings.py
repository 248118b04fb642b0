"""What to know before a freeze outlook is trusted."""

from collections.abc import Iterator
from typing import Final

import numpy as np

from maintenance.engine.climate.forecast import (
    HOURS_A_DAY,
    LESS_TRUST_AFTER_S,
    NO_TRUST_AFTER_S,
    Forecast,
    hours_of,
)
from maintenance.engine.climate.forecast_errors import ForecastErrors
from maintenance.engine.climate.part_dates import SiteDates
from maintenance.engine.climate.part_nights import CALM_WIND_M_PER_S, CLEAR_SKY_K
from maintenance.engine.climate.site_outlook import SiteOutlook
from maintenance.engine.figure import Warning
from maintenance.engine.units import display

FAR_M: Final = 100.0
"""A station higher or lower by more than this is named [m]; project choice."""

MOST_NAMED: Final = 4


def outlook_warnings(found: SiteOutlook) -> tuple[Warning, ...]:
    """List what a person should know before trusting an outlook.

    Parameters
    ----------
    found : SiteOutlook
        The outlook. [SI]

    Returns
    -------
    tuple of Warning
        Codes, sentences and the parts that they are about. [-]
    """
    return (*_of_the_forecast(found), *_of_the_record(found), *_of_the_parts(found))


def _of_the_forecast(found: SiteOutlook) -> Iterator[Warning]:
    forecast, age_s = found.forecast, found.age_s
    if forecast is None or age_s is None:
        yield Warning(
            "no_forecast",
            "No forecast was given: nothing is said of tonight, and level 0 does not "
            "mean calm.",
        )
        return
    hours = age_s / 3600.0
    if not found.trusted:
        why = (
            f"is {hours:.0f} h old"
            if age_s > NO_TRUST_AFTER_S
            else "ends before this hour"
        )
        yield Warning(
            "forecast_too_old",
            f"The forecast {why}: it counts as none. Get a newer one.",
        )
        return
    if age_s > LESS_TRUST_AFTER_S:
        yield Warning(
            "forecast_old",
            f"The forecast is {hours:.0f} h old and trusted as if a day further ahead.",
        )
    if forecast.issued_at is None:
        yield Warning(
            "issue_time_unknown",
            "The forecast does not tell when it was issued; its age is counted from its "
            "first hour.",
        )
    yield from (Warning("forecast_value", text) for text in forecast.rejected)
    yield from _bias(found.errors)
    yield from _gaps(found, forecast)


def _bias(errors: ForecastErrors) -> Iterator[Warning]:
    def told(bias_k: float) -> str:
        side = "warm" if bias_k > 0.0 else "cold"
        return f"{display(abs(bias_k), 'temperature_difference', digits=1)} too {side}"

    stated = {
        bias
        for bias, learnt in zip(errors.bias_k, errors.learnt, strict=True)
        if bias and not learnt
    }
    for bias_k in stated:
        yield Warning(
            "forecast_offset",
            f"By what was stated of the site, the forecast counts as {told(bias_k)} "
            "where its own errors are not learnt yet.",
        )
    if errors.learnt[0]:
        yield Warning(
            "forecast_bias",
            f"In {errors.nights[0]} nights here the forecast of the coming night ran "
            f"{told(errors.bias_k[0])} in the mean; that is taken off.",
        )
    if errors.left_out:
        yield Warning(
            "nights_left_out",
            f"{errors.left_out:,} nights that could not be were left out of the "
            "forecast's errors.",
        )


def _gaps(found: SiteOutlook, forecast: Forecast) -> Iterator[Warning]:
    if not any(each.part.threshold_of != "soil" for each in found.parts):
        return

    def unknown(values: np.ndarray) -> int:
        cut = hours_of(values, forecast, found.now, HOURS_A_DAY)
        return int(np.isnan(cut).sum())

    if lacking := unknown(forecast.temperature_k):
        what = (
            "each is taken as cold as the colder hour beside it"
            if any(each.tonight for each in found.parts)
            else "too many to follow the parts through the night"
        )
        yield Warning(
            "forecast_gaps",
            f"The forecast knows no temperature for {lacking} of the next 24 hours; "
            f"{what}.",
        )
    if lacking := unknown(forecast.wind_m_per_s):
        calm = display(CALM_WIND_M_PER_S, "velocity", digits=0)
        yield Warning(
            "wind_unknown",
            f"The forecast knows no wind for {lacking} of the next 24 hours; {calm} is "
            "assumed there. More wind freezes parts sooner.",
        )
    if lacking := unknown(forecast.sky_cover):
        colder = display(CLEAR_SKY_K, "temperature_difference", digits=0)
        yield Warning(
            "sky_unknown",
            f"The forecast knows no clouds for {lacking} of the next 24 hours; a clear "
            f"sky is assumed there, {colder} colder than the air.",
        )


def _of_the_record(found: SiteOutlook) -> Iterator[Warning]:
    dates = found.dates
    if dates is None:
        yield Warning("no_record", "No daily record was given: no dates can be told.")
        return
    yield from dates.record.warnings
    yield from _station(found, dates)
    changed = tuple(
        each.part.part for each in found.parts if not dates.knows(each.part)
    )
    if changed:
        yield Warning(
            "dates_out_of_date",
            f"{', '.join(changed[:MOST_NAMED])}"
            f"{' and others' if len(changed) > MOST_NAMED else ''} came or changed "
            "after the dates were worked out: work them out from the record again.",
            changed,
        )
    sheltered = [each for each in found.parts if each.part.threshold_of != "night_air"]
    if not sheltered:
        return
    if any(each.dates for each in sheltered):
        yield Warning(
            "ground_is_rough",
            "Dates in the ground and in boxes are worked out for loam without snow and "
            "sun: take them as good to 10 days, and the depth of frost to 30 %.",
        )
    elif not dates.record.has_maxima:
        yield Warning(
            "no_maxima",
            "The record has no daily maxima: no dates for what lies in the ground or "
            "stands in a box.",
            tuple(each.part.part for each in sheltered),
        )


def _station(found: SiteOutlook, dates: SiteDates) -> Iterator[Warning]:
    if dates.offset_k:
        apart = display(abs(dates.offset_k), "temperature_difference", digits=1)
        side = "colder" if dates.offset_k < 0.0 else "warmer"
        yield Warning(
            "site_offset",
            f"By what was stated of the site, every temperature of the station counts "
            f"as {apart} {side}.",
        )
    here = found.site.place.elevation.value
    there = dates.record.elevation_m
    if there is None or abs(here - there) <= FAR_M:
        return
    side = "below" if there < here else "above"
    apart = display(abs(here - there), "length", digits=0)
    yield Warning(
        "station_far_in_height",
        f"The station lies {apart} {side} the site; nothing is corrected for that.",
    )


def _of_the_parts(found: SiteOutlook) -> Iterator[Warning]:
    boxed = [each for each in found.parts if each.part.threshold_of == "box_air"]
    if boxed and found.trusted and found.soil_assumed:
        soil = display(found.soil_k, "temperature", digits=0)
        yield Warning(
            "soil_assumed",
            f"Nothing tells the soil at 8 in, so {soil} is assumed for what stands in a "
            "box; a daily record with maxima tells the usual one.",
            tuple(each.part.part for each in boxed),
        )
    deep = [
        each.part.part
        for each in found.parts
        if each.part.threshold_of == "soil" and each.part.depth_m is None
    ]
    if deep:
        yield Warning(
            "depth_unknown",
            f"The depth of {', '.join(deep[:MOST_NAMED])}"
            f"{' and others' if len(deep) > MOST_NAMED else ''} is not recorded: no "
            "date there, and level 0 does not mean calm.",
            tuple(deep),
        )
    assumed = [each.part for each in found.parts if each.part.unknown]
    if assumed:
        keys = sorted({key for part in assumed for key in part.unknown})
        yield Warning(
            "parts_assumed",
            f"Of {len(assumed)} parts not everything is recorded ({', '.join(keys)}); "
            "what could be was assumed on the quick side. Fill it in on the site.",
            tuple(part.part for part in assumed),
        )
    if found.terms.act_at > 1.0:
        yield Warning(
            "never_worth_acting",
            "By the amounts stated a day of watering is worth more than any damage, so "
            "no forecast calls the crew: check them.",
        )
    if found.terms.assumed:
        yield Warning(
            "terms_assumed",
            f"Nobody has stated {' and '.join(found.terms.assumed)}: common practice, "
            "no source.",
        )

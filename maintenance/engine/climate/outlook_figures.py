"""The figures of a freeze outlook, each with how it was worked out."""

from typing import Final

from maintenance.engine.climate.alert import ICE_FORMS
from maintenance.engine.climate.forecast_errors import ForecastErrors
from maintenance.engine.climate.frost_depths import UNCERTAINTY, frost_depths
from maintenance.engine.climate.part_nights import CAUTIOUS
from maintenance.engine.climate.site_outlook import SiteOutlook
from maintenance.engine.figure import Figure, Input
from maintenance.engine.units import display

METHOD: Final = (
    "Act when a night that a crew called now still protects, or one before it, has at "
    "least this chance to do damage: value of a day of watering over cost of damage "
    "times the share that nobody could save in a hurry"
)
SOURCES: Final = (
    "Cost-loss model (Murphy), as told in encyclopaedias",
    "FAO, Snyder et al. 2005, Frost Protection, vol. 2, ch. 1",
)


def outlook_figures(found: SiteOutlook) -> dict[str, Figure]:
    """Return the figures of an outlook, each with its method.

    Parameters
    ----------
    found : SiteOutlook
        The outlook. [SI]

    Returns
    -------
    dict of str and Figure
        By key; what is not known is left out. [SI]
    """
    figures = {"chance_to_act_at": chance_to_act_at(found)}
    if (coldest := ice_at_the_cautious_end(found)) is not None:
        figures["ice_at_the_cautious_end"] = coldest
    depths = {} if found.dates is None else frost_depths(found.dates)
    for cover, depth in depths.items():
        figures[f"frost_depth_{cover}"] = Figure(
            value=depth.one_in_ten_m,
            dimension="depth",
            method="Depth that the frost passes in one winter of ten, by rank of the "
            "winters, the ground followed as a column under daily mean air",
            assumptions=(
                f"loam without snow and sun; good to {100 * UNCERTAINTY:.0f} %",
                f"{depth.winters} winters, the worst {display(depth.deepest_m, 'depth')}",
            ),
            missing="too few winters",
        )
    return figures


def ice_at_the_cautious_end(found: SiteOutlook) -> Figure | None:
    """Return the largest share of ice in a night colder than nineteen of twenty.

    Parameters
    ----------
    found : SiteOutlook
        The outlook. [SI]

    Returns
    -------
    Figure or None
        That of the worst part, with each part that may form ice; None where the night
        was not followed. It raises no level. [-]
    """
    nights = {each.part.part: each.tonight for each in found.parts if each.tonight}
    if not nights:
        return None
    return Figure(
        value=max(night.ice_coldest for night in nights.values()),
        dimension="number",
        method="Largest share of a part's water that is ice within 24 hours, by a "
        f"forecast {CAUTIOUS} standard deviations colder; it raises no level",
        inputs=tuple(
            Input(part, percent(night.ice_coldest), "worked out")
            for part, night in nights.items()
            if night.ice_coldest >= ICE_FORMS
        ),
        assumptions=(_errors_told(found.errors),),
    )


def _errors_told(errors: ForecastErrors) -> str:
    sigmas = [
        display(sigma, "temperature_difference", digits=1) for sigma in errors.sigma_k
    ]
    span = (
        f"the error of a forecast minimum is normal, {sigmas[0]} for the first day to "
        f"{sigmas[-1]} for the seventh"
    )
    own = [str(lead) for lead, learnt in enumerate(errors.learnt, start=1) if learnt]
    if not own:
        return f"{span}: assumed, no table was found"
    if len(own) == len(errors.learnt):
        return f"{span}: learnt at this site"
    return f"{span}: learnt at this site for day {', '.join(own)}, assumed beyond"


def chance_to_act_at(found: SiteOutlook) -> Figure:
    """Return the chance to act at with its method and sources.

    Parameters
    ----------
    found : SiteOutlook
        The outlook. [SI]

    Returns
    -------
    Figure
        The chance. [-]
    """
    return Figure(
        value=found.terms.act_at,
        dimension="number",
        method=METHOD,
        sources=SOURCES,
        assumptions=(
            *(f"nobody has stated {each}" for each in found.terms.assumed),
            _errors_told(found.errors),
        ),
        in_range=found.terms.act_at <= 1.0,
    )


def percent(share: float) -> str:
    """Write a chance or a share in whole per cent.

    Parameters
    ----------
    share : float
        At least 0. [-]

    Returns
    -------
    str
        ``under 1 %`` for what rounds to nothing. [-]

    Examples
    --------
    >>> percent(0.004), percent(0.25)
    ('under 1 %', '25 %')
    """
    hundredths = 100.0 * share
    return "under 1 %" if hundredths < 1.0 else f"{hundredths:.0f} %"

"""What has to be done first where an outlook lacks something, each with its page."""

from dataclasses import dataclass
from typing import Final

from django.urls import NoReverseMatch, reverse

from maintenance.documents.outlook_units import in_units
from maintenance.engine.units import UnitSystem
from maintenance.services.weather.outlooks import WorkedOut
from maintenance.services.weather.queries import SiteWeatherLine

WEATHER: Final = "site_weather"


@dataclass(frozen=True, slots=True)
class FirstStep:
    """Something to do first: what for, and the page where it is done.

    ``edits`` tells that only who may edit the site reaches that page.
    """

    text: str
    link: str
    address: str
    edits: bool = False


def address_of(name: str, key: str) -> str:
    """Return the address of a site's page."""
    try:
        return reverse(name, args=[key])
    except NoReverseMatch:
        return reverse("site", args=[key])


def first_steps(
    worked: WorkedOut, weather: SiteWeatherLine, system: UnitSystem
) -> list[FirstStep]:
    """Return what to do first, the most telling first; empty where all is there."""
    basis, found = worked.basis, worked.found
    key = basis.row.key
    steps = []
    if not found.parts:
        steps.append(
            FirstStep(
                "Describe what stands above ground and how deep the pipes lie: of no part "
                "is it recorded that frost can reach it.",
                "The parts of the site",
                reverse("site", args=[key]),
            )
        )
    if weather.station is None:
        steps.append(
            FirstStep(
                "Attach a station: its daily temperatures tell when frost usually comes.",
                "Choose or read in a station",
                address_of(WEATHER, key),
            )
        )
    elif basis.no_dates:
        steps.append(
            FirstStep(
                f"{in_units(basis.no_dates.rstrip('.'), system)}.",
                "Choose another station or a longer record",
                address_of(WEATHER, key),
            )
        )
    if not found.trusted:
        steps += _forecast_steps(worked, key)
    return steps


def _forecast_steps(worked: WorkedOut, key: str) -> list[FirstStep]:
    steps = []
    if worked.basis.row.latitude is None or worked.basis.row.longitude is None:
        steps.append(
            FirstStep(
                "Give the position of the site: the weather service needs it.",
                "Latitude and longitude",
                reverse("edit_place", args=[key]),
                edits=True,
            )
        )
    old = "a newer forecast" if worked.found.forecast is not None else "a forecast"
    steps.append(
        FirstStep(
            f"Get {old}: without one nothing is said of tonight. Give a contact address "
            "so that the weather service may be asked, or read in a file.",
            "Forecast and contact address",
            address_of(WEATHER, key),
        )
    )
    return steps

"""What the page of a site's weather shows."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from maintenance.engine.units import UnitSystem
from maintenance.services.inventory.queries import SiteLine
from maintenance.services.weather.forecast_rows import forecast_of
from maintenance.services.weather.queries import (
    SiteWeatherLine,
    StationLine,
    site_weather,
    station_report,
    stations_for,
)
from maintenance.web.forms.weather import NightForm, OffsetForm, TermsForm
from maintenance.web.forms.weather_files import ForecastFileForm, StationFileForm
from maintenance.web.local_times import local_words, zone_of
from maintenance.web.station_record import StationRecord, station_record
from maintenance.web.station_words import (
    age_words,
    distance_words,
    height_words,
    offset_words,
    span_words,
    terms_words,
)

if TYPE_CHECKING:
    from maintenance.models import Account


@dataclass(frozen=True, slots=True)
class NearLine:
    """A station that may be attached, as seen from the site."""

    line: StationLine
    span: str
    distance: str
    height: str


@dataclass(frozen=True, slots=True)
class ForecastShown:
    """The forecast that is kept, in words."""

    source: str
    from_service: bool
    age: str
    span: str
    over: bool
    rejected: tuple[str, ...]


def site_weather_context(
    account: "Account", line: SiteLine, *, system: UnitSystem, now: datetime
) -> dict[str, Any]:
    """Return what the page shows, forms as they are before anyone types."""
    weather = site_weather(account, site_key=line.key)
    today = now.astimezone(zone_of(line.time_zone)).date()
    station = weather.station
    shown = _attached(account, station, system)
    near = [
        _near(each, system)
        for each in stations_for(account, site_key=line.key)
        if station is None or each.key != station.key
    ]
    forecast = _forecast(weather, line.time_zone, now)
    return {
        "line": line,
        "weather": weather,
        "shown": shown,
        "answer": _answer(shown, forecast),
        "near": near,
        "offset": offset_words(weather.offset_k, system),
        "forecast": forecast,
        "contact": account.weather_contact,
        "terms": terms_words(weather.stated),
        "station_form": StationFileForm(),
        "offset_form": OffsetForm(offset_k=weather.offset_k, system=system),
        "terms_form": TermsForm(stated=weather.stated),
        "forecast_form": ForecastFileForm(),
        "night_form": NightForm(today=today, system=system),
    }


def _attached(
    account: "Account", station: StationLine | None, system: UnitSystem
) -> StationRecord | None:
    if station is None:
        return None
    return station_record(station_report(account, key=station.key), system, station)


def _near(line: StationLine, system: UnitSystem) -> NearLine:
    return NearLine(
        line=line,
        span=span_words(line.first_day, line.last_day),
        distance=distance_words(line.distance_m, system),
        height=height_words(line, system),
    )


def _forecast(
    weather: SiteWeatherLine, time_zone: str, now: datetime
) -> ForecastShown | None:
    row = weather.forecast
    if row is None:
        return None
    forecast = forecast_of(row)
    last = forecast.end - timedelta(hours=1)
    return ForecastShown(
        source=forecast.source,
        from_service=row.came_from == "service",
        age=age_words(forecast.issued_at or forecast.begin, now),
        span=f"{local_words(forecast.begin, time_zone)} to {local_words(last, time_zone)}",
        over=forecast.end <= now,
        rejected=forecast.rejected,
    )


def _answer(shown: StationRecord | None, forecast: ForecastShown | None) -> str:
    if shown is None:
        told = "No station stands for this site yet: without one there are no dates."
    else:
        told = (
            f"{shown.report.line.name} stands for this site: {shown.seasons} whole "
            f"seasons, {shown.share} of the days known."
        )
    if forecast is None:
        return f"{told} No forecast is kept."
    if forecast.over:
        return f"{told} The forecast is over: give a newer one."
    return f"{told} The forecast is {forecast.age}."

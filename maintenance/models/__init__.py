"""The tables: accounts, sites and parts, compressors, season lists, the weather.

Each part keeps its record as entered; beside it stand the SI values, those that
are asked for in columns of their own. Parts are retired, never deleted. A table that
a person writes to keeps its history; one that is worked out or received does not.
Only services import this package.
"""

from maintenance.models.accounts import Account
from maintenance.models.compressors import Compressor
from maintenance.models.controllers import Controller
from maintenance.models.devices import Device
from maintenance.models.forecasts import (
    ForecastNight,
    ForecastSource,
    KeptForecast,
    ObservedNight,
)
from maintenance.models.links import Link
from maintenance.models.outlooks import PartAlert, SiteOutlook
from maintenance.models.parts import Part
from maintenance.models.points import Point
from maintenance.models.season import (
    ListFigures,
    ListStep,
    SeasonList,
    StepRecord,
    ZoneOutcome,
)
from maintenance.models.sites import Site
from maintenance.models.stations import KeptDates, SiteWeather, WeatherStation
from maintenance.models.zones import Zone

__all__ = [
    "Account",
    "Compressor",
    "Controller",
    "Device",
    "ForecastNight",
    "ForecastSource",
    "KeptDates",
    "KeptForecast",
    "Link",
    "ListFigures",
    "ListStep",
    "ObservedNight",
    "Part",
    "PartAlert",
    "Point",
    "SeasonList",
    "Site",
    "SiteOutlook",
    "SiteWeather",
    "StepRecord",
    "WeatherStation",
    "Zone",
    "ZoneOutcome",
]

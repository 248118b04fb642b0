"""The tables: sites and their parts, season lists, the weather, backflow tests.

Each part keeps its record as entered; beside it stand the SI values, those that
are asked for in columns of their own. Parts are retired, never deleted. A table that
a person writes to keeps its history; one that is worked out or received does not.
Only services import this package.
"""

from maintenance.models.accounts import Account
from maintenance.models.assemblies import (
    AssemblyEvent,
    AssemblyFacts,
    AssemblyPhoto,
    Gauge,
    OwnRule,
    Tester,
)
from maintenance.models.compressors import Compressor
from maintenance.models.controllers import Controller
from maintenance.models.devices import Device
from maintenance.models.field_tests import (
    ReportFiled,
    ReportOrder,
    TestChain,
    TestDraft,
    TestRecord,
)
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
    "AssemblyEvent",
    "AssemblyFacts",
    "AssemblyPhoto",
    "Compressor",
    "Controller",
    "Device",
    "ForecastNight",
    "ForecastSource",
    "Gauge",
    "KeptDates",
    "KeptForecast",
    "Link",
    "ListFigures",
    "ListStep",
    "ObservedNight",
    "OwnRule",
    "Part",
    "PartAlert",
    "Point",
    "ReportFiled",
    "ReportOrder",
    "SeasonList",
    "Site",
    "SiteOutlook",
    "SiteWeather",
    "StepRecord",
    "TestChain",
    "TestDraft",
    "TestRecord",
    "Tester",
    "WeatherStation",
    "Zone",
    "ZoneOutcome",
]

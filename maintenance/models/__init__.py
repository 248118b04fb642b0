"""The tables: sites, season lists, the weather, backflow tests, visits.

Each part keeps its record as entered; beside it stand the SI values, those that
are asked for in columns of their own. Parts are retired, never deleted. A table that
a person writes to keeps its history; one that is worked out or received does not.
Only services import this package.
"""

from maintenance.models.accounts import Account
from maintenance.models.air_needs import SiteAirNeed
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
from maintenance.models.feed_links import FeedLink
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
from maintenance.models.jobs import Heartbeat, Job
from maintenance.models.links import Link
from maintenance.models.outlooks import PartAlert, SiteOutlook
from maintenance.models.parts import Part
from maintenance.models.people import Grant, Held, Invitation, Member
from maintenance.models.points import Point
from maintenance.models.reminders import (
    DeliveryTry,
    Message,
    Obligation,
    Recipient,
    ReminderSteps,
    Webhook,
)
from maintenance.models.season import (
    ListFigures,
    ListStep,
    SeasonList,
    StepRecord,
    ZoneOutcome,
)
from maintenance.models.sites import Site
from maintenance.models.stations import KeptDates, SiteWeather, WeatherStation
from maintenance.models.visits import (
    Finding,
    SavedFilter,
    ServiceCall,
    SiteSeason,
    Visit,
    VisitPhoto,
)
from maintenance.models.zones import Zone

__all__ = [
    "Account",
    "AssemblyEvent",
    "AssemblyFacts",
    "AssemblyPhoto",
    "Compressor",
    "Controller",
    "DeliveryTry",
    "Device",
    "FeedLink",
    "Finding",
    "ForecastNight",
    "ForecastSource",
    "Gauge",
    "Grant",
    "Heartbeat",
    "Held",
    "Invitation",
    "Job",
    "KeptDates",
    "KeptForecast",
    "Link",
    "ListFigures",
    "ListStep",
    "Member",
    "Message",
    "Obligation",
    "ObservedNight",
    "OwnRule",
    "Part",
    "PartAlert",
    "Point",
    "Recipient",
    "ReminderSteps",
    "ReportFiled",
    "ReportOrder",
    "SavedFilter",
    "SeasonList",
    "ServiceCall",
    "Site",
    "SiteAirNeed",
    "SiteOutlook",
    "SiteSeason",
    "SiteWeather",
    "StepRecord",
    "TestChain",
    "TestDraft",
    "TestRecord",
    "Tester",
    "Visit",
    "VisitPhoto",
    "WeatherStation",
    "Webhook",
    "Zone",
    "ZoneOutcome",
]

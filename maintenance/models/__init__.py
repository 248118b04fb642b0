"""The tables: accounts, sites, their parts, compressors, and the lists of a season.

Each part keeps its record as entered; beside it stand the SI values, those that
are asked for in columns of their own. Parts are retired, never deleted, and every
table keeps its history. Only services import this package.
"""

from maintenance.models.accounts import Account
from maintenance.models.compressors import Compressor
from maintenance.models.controllers import Controller
from maintenance.models.devices import Device
from maintenance.models.links import Link
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
from maintenance.models.zones import Zone

__all__ = [
    "Account",
    "Compressor",
    "Controller",
    "Device",
    "Link",
    "ListFigures",
    "ListStep",
    "Part",
    "Point",
    "SeasonList",
    "Site",
    "StepRecord",
    "Zone",
    "ZoneOutcome",
]

"""The site as recorded: plain values, one type for each kind of part.

These types are the one description of the site file: the reader, the writer and
the JSON Schema in `maintenance.exchange` are driven by their annotations, and the
tables in `maintenance.models` keep the same keys. The order of the fields is the
order of the keys in a written file. A trailing underscore is dropped in the file
(``from_`` is ``from``). An optional field left out is unknown, never zero.
"""

from maintenance.engine.site.compressor import (
    Compressor,
    Hose,
    Regulator,
)
from maintenance.engine.site.links import (
    Backflow,
    CheckValve,
    InlineDevice,
    IsolationValve,
    Link,
    Pipe,
    Pump,
    Shutoff,
    TestCocks,
    ZoneValve,
)
from maintenance.engine.site.measures import (
    HeadKind,
    Measure,
    Placement,
    Position,
)
from maintenance.engine.site.points import (
    BlowoutPort,
    Drain,
    Head,
    Junction,
    OtherUse,
    Outlet,
    Point,
    Supply,
)
from maintenance.engine.site.whole import (
    Card,
    Controller,
    Place,
    QuickZone,
    Site,
    Zone,
)

__all__ = [
    "Backflow",
    "BlowoutPort",
    "Card",
    "CheckValve",
    "Compressor",
    "Controller",
    "Drain",
    "Head",
    "HeadKind",
    "Hose",
    "InlineDevice",
    "IsolationValve",
    "Junction",
    "Link",
    "Measure",
    "OtherUse",
    "Outlet",
    "Pipe",
    "Place",
    "Placement",
    "Point",
    "Position",
    "Pump",
    "QuickZone",
    "Regulator",
    "Shutoff",
    "Site",
    "Supply",
    "TestCocks",
    "Zone",
    "ZoneValve",
]

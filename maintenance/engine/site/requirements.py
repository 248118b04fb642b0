"""What the keys of one part ask of each other, beyond each on its own."""

import datetime
import zoneinfo
from collections.abc import Iterator
from functools import lru_cache
from typing import Any, Final

from maintenance.engine.site.compressor import Compressor
from maintenance.engine.site.links import Backflow, Pipe
from maintenance.engine.site.points import Head
from maintenance.engine.site.shapes import Field
from maintenance.engine.site.whole import Place, QuickZone, Site, Zone
from maintenance.engine.site.wording import listed, nearest, shown

UNKNOWN_PIPES: Final = ("unknown plastic", "unknown PVC", "unknown PE", "unknown")
UNKNOWN_SIZE: Final = "unknown"
Need = tuple[str, str]


def is_required(cls: type, field: Field, record: dict[Any, Any]) -> bool:
    """Whether a record of a type must have a key.

    Parameters
    ----------
    cls : type
        The value type. [-]
    field : Field
        The key. [-]
    record : dict
        The record, since a card stands for points and links. [-]

    Returns
    -------
    bool
        True where leaving it out is a fault. [-]
    """
    if cls is Site and field.key in ("points", "links"):
        return record.get("card") is None
    return field.required


def needs(value: object) -> Iterator[Need]:
    """Find what the keys of one part lack or gainsay.

    Parameters
    ----------
    value : object
        A value of `maintenance.engine.site`. [-]

    Yields
    ------
    tuple of str and str
        Key and sentence. [-]
    """
    match value:
        case Pipe():
            yield from _pipe(value)
        case Head() | QuickZone():
            yield from _outlet(value)
        case Zone():
            yield from _zone(value)
        case Place():
            yield from _place(value)
        case Backflow():
            yield from _backflow(value)
        case Compressor():
            yield from _compressor(value)
        case Site():
            yield from _site(value)


def _pipe(pipe: Pipe) -> Iterator[Need]:
    if pipe.pipe is not None:
        if pipe.size is None and pipe.pipe not in UNKNOWN_PIPES:
            yield (
                "size",
                (
                    f'is missing; write the size of "{shown(pipe.pipe)}", like "1-1/2", '
                    f"or write the pipe as one of {listed(UNKNOWN_PIPES)}"
                ),
            )
        return
    own = {
        "inside_diameter": (pipe.inside_diameter, '"1.049 in"'),
        "material": (pipe.material, '"PVC" or "PE"'),
        "rating": (pipe.rating, '"200 psi"'),
    }
    if pipe.size is not None or all(given is None for given, _ in own.values()):
        yield (
            "pipe",
            (
                'is missing; write a name of the catalogue, like "PVC Sch 40", and its '
                f'"size", or one of {listed(UNKNOWN_PIPES)}'
            ),
        )
        return
    for key, (given, example) in own.items():
        if given is None:
            yield (
                key,
                (
                    f'is missing; a pipe without "pipe" and "size" needs {listed(own)}: '
                    f"write one like {example}"
                ),
            )


def _outlet(outlet: Head | QuickZone) -> Iterator[Need]:
    if isinstance(outlet, Head) and outlet.k is not None:
        if outlet.flow is not None or outlet.at_pressure is not None:
            yield (
                "k",
                'says the same as "flow" with "at_pressure"; keep one of the two',
            )
        return
    if outlet.flow is not None and outlet.at_pressure is None:
        yield (
            "at_pressure",
            (
                'is missing; write the pressure at which the flow was told, like "30 psi", '
                'or take out "flow" if it is not known'
            ),
        )
    if outlet.at_pressure is not None and outlet.flow is None:
        yield (
            "flow",
            (
                'is missing; write the flow at that pressure, like "2.0 gpm", or take out '
                '"at_pressure" if it is not known'
            ),
        )


def _zone(zone: Zone) -> Iterator[Need]:
    if zone.valve is None and zone.quick is None:
        yield "valve", 'is missing; write the id of a zone valve, or give "quick"'
    if zone.valve is not None and zone.quick is not None:
        yield (
            "quick",
            (
                'stands beside "valve" and neither wins; keep "quick" for a run that the '
                'tool lays out, or "valve" for one that is recorded'
            ),
        )


def _place(place: Place) -> Iterator[Need]:
    name = place.time_zone
    if name and not _zone_exists(name):
        yield (
            "time_zone",
            (
                f'"{shown(name)}" is no time zone{nearest(name, _zone_names())}; write one '
                'like "America/Denver"'
            ),
        )


@lru_cache(maxsize=256)
def _zone_exists(name: str) -> bool:
    try:
        zoneinfo.ZoneInfo(name)
    except (ValueError, OSError, zoneinfo.ZoneInfoNotFoundError):
        return False
    return True


@lru_cache(maxsize=1)
def _zone_names() -> frozenset[str]:
    return frozenset(zoneinfo.available_timezones())


def _backflow(device: Backflow) -> Iterator[Need]:
    if device.installed is None:
        return
    try:
        datetime.date.fromisoformat(device.installed)
        is_date = len(device.installed) == len("2019-05-02")
    except ValueError:
        is_date = False
    if not is_date:
        yield (
            "installed",
            (
                f'"{shown(device.installed)}" is no date; write year, month and day like '
                '"2019-05-02", or put what is known in "note"'
            ),
        )


def _compressor(compressor: Compressor) -> Iterator[Need]:
    cut_in, cut_out = compressor.cut_in, compressor.cut_out
    if cut_in and cut_out and cut_in.value >= cut_out.value:
        yield (
            "cut_in",
            (
                f'"{cut_in.text}" is not below the cut-out of "{cut_out.text}"; look at '
                "both on the plate or the pressure switch"
            ),
        )
    start = compressor.start_pressure
    if start and cut_out and start.value > cut_out.value:
        yield (
            "start_pressure",
            (
                f'"{start.text}" is above the cut-out of "{cut_out.text}", where the '
                "compressor stops; write at most that"
            ),
        )


def _site(site: Site) -> Iterator[Need]:
    parts = ("points", "links", "zones")
    if site.card is None and not site.points:
        yield "points", 'is empty; write at least a supply, or give a "card"'
    if site.card is not None and any(getattr(site, key) for key in parts):
        yield (
            "card",
            (
                'stands beside points, links or zones and neither wins; keep the "card", '
                "or take it out and keep the recorded parts"
            ),
        )

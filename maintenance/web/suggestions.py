"""What a browser offers while a person types: names of pipes, points and places."""

from dataclasses import dataclass
from functools import cache
from typing import Final
from zoneinfo import available_timezones

from maintenance.engine.pipes.catalogue import pipe_names, pipe_row, pipe_sizes
from maintenance.engine.site import Site, ZoneValve

# One pipe of each outside: all of a family share it.
_STRUNG: Final = (
    ("PVC Sch 40", "rigid PVC, steel"),
    ("PE SIDR-15", "PE (SIDR 15)"),
    ("copper L", "copper, PE of copper size"),
)
_STRUNG_SIZES: Final = ("1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3")
_INCH_M: Final = 0.0254
_PI: Final = 3.141592653589793


@dataclass(frozen=True, slots=True)
class StringRow:
    """A nominal size and the length of string round it, for each family of pipe."""

    size: str
    inches: tuple[str, ...]
    millimetres: tuple[str, ...]


@cache
def zone_names() -> tuple[str, ...]:
    """Return the names of the time zones of the world."""
    return tuple(sorted(name for name in available_timezones() if "/" in name))


def suggestions(site: Site | None = None) -> dict[str, tuple[str, ...]]:
    """Return the words to offer, by the id of their list."""
    words = {"pipes": pipe_names(), "time-zones": zone_names()}
    if site:
        words["points"] = tuple(point.id for point in site.points)
        words["valves"] = tuple(
            link.id for link in site.links if isinstance(link, ZoneValve)
        )
    return words


def string_families() -> tuple[str, ...]:
    """Return the heads of the columns of the string table."""
    return tuple(words for _pipe, words in _STRUNG)


@cache
def string_table() -> tuple[StringRow, ...]:
    """Return how long a string round each size of pipe is, from the catalogue."""
    rows: list[StringRow] = []
    for size in _STRUNG_SIZES:
        rounds = [
            pipe_row(pipe, size).outside_diameter_m * _PI
            if size in pipe_sizes(pipe)
            else None
            for pipe, _words in _STRUNG
        ]
        rows.append(
            StringRow(
                size,
                tuple(f"{r / _INCH_M:.1f}" if r else "" for r in rounds),
                tuple(f"{r * 1000:.0f}" if r else "" for r in rounds),
            )
        )
    return tuple(rows)

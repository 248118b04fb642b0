"""What the pages call the seasons' lists, and what each is for."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from maintenance.documents.season_words import list_title
from maintenance.engine.procedure.step import Season
from maintenance.services.seasons.kept_list import ListLine

WHAT_FOR: Final[dict[Season, str]] = {
    "shutdown": "Autumn: the water is shut off, let out and blown out.",
    "startup": "Spring: everything that autumn opened is shut, and the water let in.",
    "frost_night": "One frosty night: what stands in the open is drained.",
    "frost_undo": "The morning after: everything back in reverse, programmes last.",
}
START: Final[dict[Season, str]] = {
    "shutdown": "Start the autumn list",
    "startup": "Start the spring list",
    "frost_night": "Start the frost-night card",
    "frost_undo": "Start the card for the morning after",
}


@dataclass(frozen=True, slots=True)
class Start:
    """A list that may be started, and what its link says."""

    season: Season
    name: str


@dataclass(frozen=True, slots=True)
class Named:
    """A list with its title, and how far it is."""

    line: ListLine
    title: str
    progress: str


@dataclass(frozen=True, slots=True)
class SiteSeasons:
    """The season lists of one site: open, closed, and those that may be started."""

    open: tuple[Named, ...]
    closed: tuple[Named, ...]
    starts: tuple[Start, ...]


def site_seasons(lines: Sequence[ListLine]) -> SiteSeasons:
    """Sort the lists of a site; the card for the morning after needs a night before."""
    named = [Named(line, list_title(line.head), _progress(line)) for line in lines]
    nights = any(line.head.season == "frost_night" for line in lines)
    return SiteSeasons(
        open=tuple(each for each in named if each.line.head.closed_at is None),
        closed=tuple(each for each in named if each.line.head.closed_at),
        starts=tuple(
            Start(season, name)
            for season, name in START.items()
            if season != "frost_undo" or nights
        ),
    )


def _progress(line: ListLine) -> str:
    done = f"{line.steps - line.steps_left} of {line.steps} steps"
    if not line.zones:
        return done
    return f"{done}, {line.zones - line.zones_left} of {line.zones} zones"

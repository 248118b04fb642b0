"""A station's record on a page: how complete it is, and what was rejected."""

from dataclasses import dataclass
from typing import Final

from maintenance.engine.climate.completeness import Gap
from maintenance.engine.climate.report import FEW_SEASONS
from maintenance.engine.climate.seasons import complete_seasons
from maintenance.engine.climate.series import Rejected
from maintenance.engine.units import UnitSystem
from maintenance.services.weather.queries import StationLine, StationReport
from maintenance.web.station_words import (
    distance_words,
    height_words,
    position_words,
    span_words,
)

LONGEST_GAPS: Final = 5
MOST_REJECTED: Final = 50


@dataclass(frozen=True, slots=True)
class StationRecord:
    """What a person looks at before trusting a station."""

    report: StationReport
    span: str
    seasons: int
    few: bool
    known: str
    missing: str
    share: str
    gaps: tuple[Gap, ...]
    more_gaps: int
    rejected: tuple[Rejected, ...]
    more_rejected: int
    distance: str
    height: str
    position: str


def station_record(
    report: StationReport, system: UnitSystem, seen: StationLine | None = None
) -> StationRecord:
    """Put the report of a station into words; ``seen`` is the station from a site."""
    line = seen or report.line
    years = complete_seasons(report.record.series, "fall")
    seasons = years[1] - years[0] + 1 if years else 0
    complete, rejected = report.complete, report.record.rejected
    return StationRecord(
        report=report,
        span=span_words(complete.first, complete.last),
        seasons=seasons,
        few=seasons < FEW_SEASONS,
        known=f"{complete.known:,}",
        missing=f"{complete.missing:,}",
        share=_percent(complete.share),
        gaps=complete.longest_gaps[:LONGEST_GAPS],
        more_gaps=max(0, len(complete.gaps) - LONGEST_GAPS),
        rejected=rejected[:MOST_REJECTED],
        more_rejected=max(0, len(rejected) - MOST_REJECTED),
        distance=distance_words(line.distance_m, system),
        height=height_words(line, system),
        position=position_words(report.record.series.station),
    )


def _percent(share: float) -> str:
    """Write a share rounded down: what is not whole is never 100 %."""
    return f"{int(share * 1000) / 10:g} %"

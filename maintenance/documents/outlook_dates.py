"""When frost comes to a part, and the word for a day: dates that open their method."""

from datetime import date, timedelta
from math import floor
from typing import Final

from maintenance.documents.drawing.odds_lines import LAST_DAY, NINE_OF_TEN
from maintenance.documents.outlook_kinds import harmed_at
from maintenance.documents.outlook_notes import Notes, Told
from maintenance.engine.climate.mixed_law import fit_mixed_law
from maintenance.engine.climate.part_dates import PartDates
from maintenance.engine.climate.record_summary import RecordSummary
from maintenance.engine.climate.season_day import season_day
from maintenance.engine.climate.site_outlook import PartOutlook, SiteOutlook
from maintenance.engine.figure import Figure, Input
from maintenance.engine.freezing.outlook import BOX_AIR_SHARE
from maintenance.engine.units import UnitSystem, display

_LAW: Final = (
    "a mixed law over the seasons of the record: the share of seasons with frost, times "
    "a normal law of its dates (day = mean + deviation · z(chance/share)); ± holds nine "
    "times of ten, 1.645 standard errors s·√((1 + z²/2)/n)"
)
_METHODS: Final = {
    "night_air": (
        "Dates above ground",
        (
            "The first day of each season, 1 August to 31 July, on which the night was "
            f"as cold as harms the part, or colder; then {_LAW}"
        ),
    ),
    "box_air": (
        "Dates in boxes",
        (
            "The first day of each season on which the air in a box freezes: it follows "
            f"the mean air of the day by {BOX_AIR_SHARE:g}, the soil at 8 in by the "
            f"rest; then {_LAW}"
        ),
    ),
    "soil": (
        "Dates in the ground",
        (
            "The first day of each season on which frost stands as deep as the pipe, "
            "followed day by day through the ground (heat conduction with latent heat, "
            f"loam, no snow, no sun); then {_LAW}"
        ),
    ),
}
_LAW_SOURCES: Final = (
    "National freeze tables 1971-2000, read on a secondary copy (season, at or below)",
    "mixed law: Thom 1959, from memory",
)
_SOIL_SOURCE: Final = (
    "surface factors: TM 5-852-4, table 4-1, as reprinted (turf 0.5, bare soil 0.7, "
    "paving as concrete 0.75)"
)
_ASSUMED: Final = {
    "night_air": "the night that harms it: from runs of a model, nobody publishes it",
    "box_air": "what shelters a box: rough, nobody publishes it; good to 10 days",
    "soil": "a moist loam, for no soil of the site was measured: good to 10 days",
}


def day_words(day: date) -> str:
    """Write a day as people plan by it.

    Examples
    --------
    >>> day_words(date(2026, 10, 4))
    'Sun 4 Oct 2026'
    """
    return f"{day:%a} {day.day} {day:%b %Y}"


def date_told(
    each: PartOutlook, chance: int, found: SiteOutlook, notes: Notes, system: UnitSystem
) -> Told:
    """Tell the date by which frost has come to a part with a chance in percent."""
    name, method = _METHODS[each.part.threshold_of]
    dates = each.dates
    if dates is None:
        missing = missing_date(each, found)
        return notes.told(
            name, "not known", Figure(None, "number", method, missing=missing)
        )
    number = dates.days[chance]
    if number is not None and number > LAST_DAY:
        number = None
    text = _seldom(dates) if number is None else _date(number, found)
    off = dates.errors[chance]
    if number is not None and off is not None:
        text = f"{text} ± {max(1, round(NINE_OF_TEN * off))} d"
    sources: tuple[str, ...] = _LAW_SOURCES
    if each.part.threshold_of != "night_air":
        sources = (*sources, _SOIL_SOURCE)
    figure = Figure(
        number,
        "number",
        method,
        sources=sources,
        inputs=_inputs(each, dates, found, system),
        assumptions=(*each.part.assumed, _ASSUMED[each.part.threshold_of]),
        missing=_rare(dates, chance),
    )
    return notes.told(name, text, figure)


def missing_date(each: PartOutlook, found: SiteOutlook) -> str:
    """Say what would tell the dates of a part that has none."""
    if each.part.threshold_of == "soil" and each.part.depth_m is None:
        return "Its depth is not recorded: measure it and fill it in on the site."
    if found.dates is None:
        return "No station is attached: a daily record of temperatures tells the dates."
    if not found.dates.record.has_maxima:
        return "The record has no daily maxima, which the ground and boxes need."
    return "Work the outlook out again: the part came after the dates."


def record_words(record: RecordSummary) -> str:
    """Name a record with its span and how many seasons speak."""
    name = record.station_name or record.station or "the station"
    return (
        f"{name}, {record.first.year} to {record.last.year}, {record.seasons} seasons"
    )


def _date(number: float, found: SiteOutlook) -> str:
    begin, _ = season_day(found.today)
    return day_words(begin + timedelta(days=floor(number + 0.5)))


def _inputs(
    each: PartOutlook, dates: PartDates, found: SiteOutlook, system: UnitSystem
) -> tuple[Input, ...]:
    law = fit_mixed_law(dates.numbers)
    origin = "recorded" if each.part.threshold_of == "soil" else "assumed from its kind"
    inputs = [Input("harmed by", harmed_at(each.part, system), origin)]
    if found.dates is not None:
        record = found.dates.record
        inputs.append(Input("record", record_words(record), "station"))
        if found.dates.offset_k:
            offset = display(
                found.dates.offset_k, "temperature_difference", system, digits=1
            )
            inputs.append(Input("added to every temperature", offset, "stated"))
    inputs.append(
        Input("seasons with frost there", f"{law.n_with} of {law.n}", "record")
    )
    if law.mean_day is not None:
        inputs.append(Input("mean date", _date(law.mean_day, found), "worked out"))
    if law.sd_day is not None:
        inputs.append(Input("deviation", f"{law.sd_day:.1f} days", "worked out"))
    return tuple(inputs)


def _seldom(dates: PartDates) -> str:
    law = fit_mixed_law(dates.numbers)
    return f"in {law.n_with} of {law.n} winters"


def _rare(dates: PartDates, chance: int) -> str:
    law = fit_mixed_law(dates.numbers)
    return (
        f"Frost came to it in {law.n_with} of {law.n} seasons, too few for {chance} %: "
        "in most years it never gets there."
        if law.n_with
        else f"Frost came to it in none of {law.n} seasons."
    )

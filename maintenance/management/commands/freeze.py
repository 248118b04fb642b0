"""What freezes first at a site, what tonight does, and what to do about it."""

from argparse import ArgumentParser
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.utils import timezone

from maintenance.documents.freeze_text import freeze_text
from maintenance.engine.climate.alert import Terms, stated_terms
from maintenance.engine.climate.forecast_errors import default_errors
from maintenance.engine.climate.outlook_report import outlook_as_json
from maintenance.engine.climate.part_dates import site_dates
from maintenance.engine.climate.site_outlook import site_outlook
from maintenance.engine.errors import InputError
from maintenance.engine.site import Site
from maintenance.engine.units import parse_quantity
from maintenance.exchange.json_text import json_text
from maintenance.exchange.weather.forecast_file import read_forecast
from maintenance.exchange.weather.forecast_hours import aware_time
from maintenance.exchange.weather.record_file import UNITS
from maintenance.management.climate_options import record_named
from maintenance.management.plain import PlainCommand
from maintenance.management.site_named import site_named


class Command(PlainCommand):
    """Read a site, a record and a forecast, work out, print; nothing is kept."""

    help = (
        "Tell which parts of a site freeze first, what the coming night does to them "
        "and whether to shut down now. A site is a file, or the id of one that is kept "
        "here. Example: freeze site.json --series station.csv --forecast hourly.json"
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare the site, the weather and what the person states."""
        parser.add_argument("site", metavar="FILE-or-SITE", help="a site file or an id")
        parser.add_argument(
            "--series", metavar="FILE", help="daily minima and maxima of a station near"
        )
        parser.add_argument(
            "--unit", choices=UNITS, help="unit of the series, where it names none"
        )
        parser.add_argument(
            "--forecast",
            metavar="FILE",
            help="hourly or raw-grid JSON of the public weather service, or CSV with "
            "time, temperature_f or temperature_c, wind_mph, sky_cover in percent",
        )
        parser.add_argument(
            "--now",
            metavar="TIME",
            help="such as 2026-10-05T18:00-07:00; this moment if not given",
        )
        parser.add_argument(
            "--site-offset",
            metavar="DIFFERENCE",
            help='the site against station and forecast, such as "-2 delta_degF" for a '
            "hollow that is 2 °F colder; nothing is added unless you say so",
        )
        self._add_terms(parser)
        parser.add_argument("--json", action="store_true", help="print one JSON object")

    def _add_terms(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--crew-days", type=int, metavar="N", help="days from the call to the work"
        )
        for name, words in (
            ("--value-of-a-day", "what one more day of watering is worth"),
            ("--cost-of-damage", "what it costs if frost finds the parts full"),
            ("--share-saved", "share of it that hurrying out still saves, such as 0.8"),
        ):
            parser.add_argument(name, type=float, metavar="NUMBER", help=words)

    def answer(self, **options: Any) -> None:
        """Read, work out, print."""
        now = _now(options["now"])
        terms = _terms(options)
        site = site_named(options["site"], say=self.say)
        dates = forecast = None
        offset_k = _offset(options["site_offset"])
        if options["forecast"]:
            forecast = read_forecast(Path(options["forecast"]).read_bytes())
        if options["series"]:
            record = record_named(options["series"], options["unit"])
            self.say("Following the ground through past winters takes some seconds.")
            dates = site_dates(site, record, offset_k=offset_k)
        found = site_outlook(
            site,
            now,
            now.astimezone(_zone(site)).date(),
            dates=dates,
            forecast=forecast,
            terms=terms,
            errors=default_errors(offset_k),
        )
        if options["json"]:
            self.show(json_text(outlook_as_json(found)))
        else:
            self.show(freeze_text(found))


def _offset(text: str | None) -> float:
    if text is None:
        return 0.0
    return parse_quantity(text, "temperature_difference")


def _now(text: str | None) -> datetime:
    if text is None:
        return timezone.now()
    time = aware_time(text)
    if time is None:
        raise InputError(
            f'--now "{text}" is no time with its offset from UTC; write one like '
            "2026-10-05T18:00-07:00",
            input="now",
        )
    return time


def _zone(site: Site) -> ZoneInfo:
    try:
        return ZoneInfo(site.place.time_zone)
    except (ZoneInfoNotFoundError, ValueError) as error:
        raise InputError(
            f'place.time_zone "{site.place.time_zone}" is not known here; write one '
            "like America/Denver",
            input="time_zone",
        ) from error


def _terms(options: dict[str, Any]) -> Terms:
    names = ("value_of_a_day", "cost_of_damage", "share_saved")
    worth = tuple(options[name] for name in names)
    if any(each is None for each in worth) and any(each is not None for each in worth):
        raise InputError(
            "--value-of-a-day, --cost-of-damage and --share-saved go together; give "
            "all three or none"
        )
    stated = None if worth[0] is None else worth
    return stated_terms(options["crew_days"], stated)

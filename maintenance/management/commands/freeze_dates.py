"""When it first freezes in fall, or last in spring, with the chances."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from maintenance.documents.freeze_dates_text import freeze_dates_text
from maintenance.engine.climate.freeze_dates import freeze_dates
from maintenance.engine.climate.report import freeze_dates_as_json
from maintenance.exchange.json_text import json_text
from maintenance.management.climate_options import (
    add_record_options,
    record_named,
    threshold_of,
    years_of,
)
from maintenance.management.plain import PlainCommand


class Command(PlainCommand):
    """Read a record, work out the dates, print them; nothing is kept."""

    help = (
        "Work out first-fall or last-spring freeze dates from a record of daily minima. "
        'Example: freeze_dates station.csv --threshold "28 degF" --years 1991-2020'
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare the record and what is asked of it."""
        add_record_options(parser, threshold="32 degF")
        parser.add_argument(
            "--season",
            choices=("fall", "spring"),
            default="fall",
            help="first freeze of fall (if not given), or last of spring",
        )
        parser.add_argument(
            "--years",
            metavar="A-B",
            help="seasons, both included, each named by the year in which it begins "
            "(fall) or ends (spring); all complete ones if not given",
        )

    def answer(self, **options: Any) -> None:
        """Read, work out, print."""
        threshold_k = threshold_of(options["threshold"])
        years = years_of(options["years"])
        record = record_named(options["series"], options["unit"])
        found = freeze_dates(
            record.series,
            threshold_k,
            options["season"],
            years=years,
            exact=options["exact"],
        )
        if options["json"]:
            self.show(json_text(freeze_dates_as_json(found, record)))
        else:
            name = Path(options["series"]).name
            self.show(freeze_dates_text(found, record, name))

"""``manage.py demo``: the demonstration, its main sheet, and the pages to look at."""

from contextlib import closing
from typing import Any

from django.conf import settings
from django.core.management.base import CommandParser
from django.utils import timezone

from maintenance.documents.blowout_text import sheet_text
from maintenance.exchange.demonstration import (
    read_demonstration,
    read_demonstration_weather,
)
from maintenance.management.data_lock import hold_data_folder
from maintenance.management.database import prepare_database
from maintenance.management.plain import PlainCommand
from maintenance.management.server import (
    ADDRESS,
    DEFAULT_PORT,
    open_listener,
    serve_pages,
)
from maintenance.services.accounts import local_account
from maintenance.services.blowout import sheets
from maintenance.services.demonstration import load_demonstration
from maintenance.services.inventory import queries
from maintenance.services.weather.demonstration import (
    keep_demonstration_outlooks,
    renew_forecasts,
)

SITE = "larkmoor"
COMPRESSOR = "yard-25"


class Command(PlainCommand):
    """Make the demonstration if it is not there, print its sheet, serve the pages."""

    help = (
        "Put the demonstration in (an invented estate, a contractor's dozen sites, "
        "four compressors), print the estate's blow-out sheet, and serve the pages "
        "until Ctrl-C. Your own sites stay as they are; the first page removes it."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        """Declare the options."""
        parser.add_argument(
            "--port", type=int, default=DEFAULT_PORT, help="default: %(default)s"
        )
        parser.add_argument(
            "--no-serve", action="store_true", help="print the sheet and end"
        )

    def answer(self, **options: Any) -> None:
        """Take the port first, so that a refusal leaves nothing behind."""
        if options["no_serve"]:
            self._show_sheet()
            return
        listener = open_listener(port=options["port"])
        port = listener.getsockname()[1]
        with closing(listener), hold_data_folder(settings.DATA_DIR):
            self._show_sheet()
            self.show(
                f"\nThe same sheet as a page: http://{ADDRESS}:{port}/sites/{SITE}/"
                f"blow-out/?compressor={COMPRESSOR}"
            )
            serve_pages(listener, say=self.show)

    def _show_sheet(self) -> None:
        prepare_database(say=self.say)
        account = local_account()
        self._load()
        self.say("Computing the sheet.")
        (sheet,) = sheets(account, site_key=SITE, compressor_keys=[COMPRESSOR])
        self.show(sheet_text(sheet))

    def _load(self) -> None:
        """Put in what is absent; what a person tried out on the demonstration stays."""
        account, now = local_account(), timezone.now()
        there = {line.key for line in queries.sites(account) if line.demo}
        if there:
            self._renew()
            return
        self.say("Putting the demonstration in.")
        files, weather = read_demonstration(), read_demonstration_weather()
        load_demonstration(
            account,
            sites=files.sites,
            compressors=files.compressors,
            now=now,
            record=weather.record,
            forecast=weather.forecast,
        )
        self.say("Following the ground through the winters of its station.")
        keep_demonstration_outlooks(account, now=now)

    def _renew(self) -> None:
        """Give invented forecasts anew where they are over."""
        account, now = local_account(), timezone.now()
        forecast = read_demonstration_weather().forecast
        if renew_forecasts(account, forecast=forecast, now=now):
            keep_demonstration_outlooks(account, now=now)

"""``manage.py demo``: the demonstration, its main sheet, and the pages to look at."""

from typing import Any

from django.core.management.base import CommandParser
from django.utils import timezone

from maintenance.documents.blowout_text import sheet_text
from maintenance.exchange.demonstration import read_demonstration
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
        serve = not options["no_serve"]
        listener = open_listener(port=options["port"]) if serve else None
        try:
            prepare_database(say=self.say)
            account = local_account()
            self._load()
            self.say("Computing the sheet.")
            (sheet,) = sheets(account, site_key=SITE, compressor_keys=[COMPRESSOR])
            self.show(sheet_text(sheet))
        except BaseException:
            if listener is not None:
                listener.close()
            raise
        if listener is not None:
            port = listener.getsockname()[1]
            self.show(
                f"\nThe same sheet as a page: http://{ADDRESS}:{port}/sites/{SITE}/"
                f"blow-out/?compressor={COMPRESSOR}"
            )
            serve_pages(listener, say=self.show)

    def _load(self) -> None:
        """Put in what is absent; what a person tried out on the demonstration stays."""
        account = local_account()
        if any(line.demo for line in queries.sites(account)):
            return
        self.say("Putting the demonstration in.")
        files = read_demonstration()
        load_demonstration(
            account,
            sites=files.sites,
            compressors=files.compressors,
            now=timezone.now(),
        )

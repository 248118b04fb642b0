"""Where water stays when a site is left to drain."""

from argparse import ArgumentParser
from typing import Any

from maintenance.documents.drain_text import drain_text
from maintenance.engine.network.drain_report import drained_as_json
from maintenance.engine.network.drain_site import drain_site
from maintenance.exchange.json_text import json_text
from maintenance.management.plain import PlainCommand
from maintenance.management.site_named import site_named


class Command(PlainCommand):
    """Work out the levels left; with a file nothing is read or kept but it."""

    help = (
        "Work out where water stays when a site is left to drain, its parts in winter "
        "position, and where one more drain would help most. A site is a file, or the "
        "id of one that is kept here."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare the site and what is opened or shut besides."""
        parser.add_argument("site", metavar="FILE-or-SITE", help="a site file or an id")
        parser.add_argument(
            "--open",
            metavar="ID",
            nargs="+",
            action="extend",
            default=[],
            help="open these: a valve or pump passes both ways, a coupler has its key "
            "in, a head has no check",
        )
        parser.add_argument(
            "--shut",
            metavar="ID",
            nargs="+",
            action="extend",
            default=[],
            help="shut these: a head is capped, a drain is shut or stuck",
        )
        parser.add_argument("--json", action="store_true", help="print one JSON object")

    def answer(self, **options: Any) -> None:
        """Read, work out, print."""
        site = site_named(options["site"], say=self.say)
        drained = drain_site(site, opens=options["open"], shuts=options["shut"])
        if options["json"]:
            self.show(json_text(drained_as_json(drained)))
        else:
            self.show(drain_text(drained))

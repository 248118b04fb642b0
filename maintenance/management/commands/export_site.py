"""Give a site out as a file."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from maintenance.exchange.site_file import write_site
from maintenance.management.plain import PlainCommand
from maintenance.services.accounts import LOCAL, account_named
from maintenance.services.inventory.queries import site


class Command(PlainCommand):
    """Export a site."""

    help = (
        "Write a site as a file, each quantity as it was entered. Importing the file "
        "changes nothing, and exporting again gives the same bytes."
    )
    needs_database = True

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take the site, the account and the file."""
        parser.add_argument("site", metavar="SITE", help="id of the site")
        parser.add_argument(
            "--account",
            metavar="A",
            default=LOCAL,
            help="default: that of this machine",
        )
        parser.add_argument(
            "-o", "--output", metavar="FILE", help="default: standard output"
        )

    def answer(self, **options: Any) -> None:
        """Write the file."""
        account = account_named(options["account"])
        text = write_site(site(account, key=options["site"]))
        if options["output"]:
            Path(options["output"]).write_bytes(text.encode())
            self.say(f"Wrote {options['output']}.")
        else:
            self._pour(text)

    def _pour(self, text: str) -> None:
        """Write the exact bytes: a terminal's encoding or line ends may differ."""
        self.stdout.flush()
        stream = getattr(self.stdout, "buffer", None)
        if stream is None:
            self.stdout.write(text, ending="")
        else:
            stream.write(text.encode())
            stream.flush()

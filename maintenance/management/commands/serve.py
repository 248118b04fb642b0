"""``manage.py serve``: the pages, for a browser on this machine."""

from typing import Any

from django.conf import settings
from django.core.management.base import CommandParser

from maintenance.management.data_lock import hold_data_folder
from maintenance.management.database import prepare_database
from maintenance.management.plain import PlainCommand
from maintenance.management.server import (
    ADDRESS,
    DEFAULT_PORT,
    open_listener,
    refuse_without_owner,
    serve_pages,
)


class Command(PlainCommand):
    """Bring the database up to date and serve the pages until Ctrl-C."""

    help = "Serve the pages to a browser on this machine, until Ctrl-C."

    def add_arguments(self, parser: CommandParser) -> None:
        """Declare the options."""
        parser.add_argument(
            "--port", type=int, default=DEFAULT_PORT, help="default: %(default)s"
        )
        parser.add_argument(
            "--address",
            default=ADDRESS,
            help="%(default)s, this machine; others only with accounts and https",
        )

    def answer(self, **options: Any) -> None:
        """Take the port first, so that a refusal leaves nothing behind."""
        listener = open_listener(port=options["port"], address=options["address"])
        with hold_data_folder(settings.DATA_DIR):
            try:
                prepare_database(say=self.say)
                refuse_without_owner(options["address"])
            except BaseException:
                listener.close()
                raise
            serve_pages(listener, say=self.show)

"""``manage.py health``: whether all runs, for a monitor without a browser."""

from argparse import ArgumentParser
from typing import Any

from django.core.management import CommandError
from django.utils import timezone

from maintenance.management.plain import PlainCommand
from maintenance.services.health import look_at_all
from maintenance.services.start_checks import refuse_unsafe_start


class Command(PlainCommand):
    """Say what was seen; exit code 1 where something needs a person."""

    help = (
        "Look whether database, tables, queue, background work, reminders and disk are "
        "well; exit code 1 where one is not."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare the one choice."""
        parser.add_argument(
            "--before-start",
            action="store_true",
            help="only refuse what the tool would not start on",
        )

    def answer(self, **options: Any) -> None:
        """Look, and tell."""
        if options["before_start"]:
            refuse_unsafe_start()
            self.show("Nothing stands against starting.")
            return
        signs = look_at_all(now=timezone.now())
        for sign in signs:
            self.show(
                f"{sign.name}: {'well' if sign.well else 'NOT WELL'}. {sign.said}"
            )
        ill = [sign.name for sign in signs if not sign.well]
        if ill:
            raise CommandError(f"Not well: {', '.join(ill)}.")

"""Ask for new forecasts where they are due, and work all freeze outlooks out again."""

from argparse import ArgumentParser
from random import random
from typing import Any

from django.conf import settings
from django.utils import timezone

from maintenance.engine.climate.fetched import Answer, PlaceAsked
from maintenance.exchange.weather.service.fetch import fetch_forecast
from maintenance.management.plain import PlainCommand
from maintenance.services.accounts import account_named, accounts
from maintenance.services.weather.refresh import Refreshed, refresh_outlooks


class Command(PlainCommand):
    """Refresh the sites of one account or of all."""

    help = (
        "Ask the public weather service for the forecasts that are due, for accounts "
        "that have given a contact address, and work out the freeze outlook of every "
        "site again. Run it once an hour in the cold season. What cannot be reached "
        "keeps its last forecast, with its age, and is asked again later."
    )
    needs_database = True

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take the account, and whether to ask anyone."""
        parser.add_argument("--account", metavar="A", help="default: every account")
        parser.add_argument(
            "--offline", action="store_true", help="ask nobody; work with what is kept"
        )

    def answer(self, **options: Any) -> None:
        """Refresh, account by account, and tell how it went."""
        named, total = options["account"], Refreshed()
        for account in [account_named(named)] if named else accounts():
            done = Refreshed()
            for done in refresh_outlooks(
                account,
                ask=None if options["offline"] else _ask,
                now=timezone.now(),
                jitter=random(),  # noqa: S311  (spreads the tries; guards nothing)
            ):
                self.say(f"{account.name}: {done.sites} sites.")
            total += done
        self.show(_told(total))


def _ask(place: PlaceAsked, contact: str) -> Answer:
    return fetch_forecast(place, contact=contact, base_url=settings.WEATHER_SERVICE_URL)


def _told(done: Refreshed) -> str:
    asked = (
        f"{done.asked} forecasts asked for, {done.new} new, {done.failed} not reached"
        if done.asked
        else "no forecast was due, or no contact address is given"
    )
    return f"{done.sites} outlooks worked out; {asked}."

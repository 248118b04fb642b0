"""Find what is due, write the reminders whose time has come, and send them."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone

from maintenance.exchange.delivery.channels import channels
from maintenance.management.plain import PlainCommand
from maintenance.services.reminders.drain import Drained, drain
from maintenance.services.reminders.find import find_all
from maintenance.services.reminders.materialise import materialise
from maintenance.services.reminders.watch import Watch, watch

_ROUND = 200


class Command(PlainCommand):
    """One whole round, or only a look at whether rounds are made."""

    help = (
        "Find what is due at all sites, write the reminders whose time has come and "
        "send them. Run it every few minutes where nothing else does; any number of "
        "them at once is harmless. With --check nothing is sent: it tells whether "
        "reminders go out, and ends with 1 where they have fallen silent."
    )
    needs_database = True

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Take whether to look only."""
        parser.add_argument(
            "--check",
            action="store_true",
            help="send nothing; tell whether they go out",
        )

    def answer(self, **options: Any) -> None:
        """Make the round, or look."""
        if options["check"]:
            self._look()
            return
        found = find_all(now=timezone.now())
        self.say(f"{found} changes of what is due.")
        written = materialise(now=timezone.now())
        self.say(f"{written} reminders written.")
        done = Drained()
        while True:
            last = drain(channels(timezone.now), now=timezone.now(), most=_ROUND)
            done.add(last)
            if last.worked < _ROUND:
                break
        self.show(_told(done))

    def _look(self) -> None:
        seen = watch(now=timezone.now())
        if seen.silent:
            raise CommandError(" ".join(seen.reasons))
        self.show(_seen(seen))


def _told(done: Drained) -> str:
    return (
        f"{done.sent} sent, {done.refused} to be tried again, {done.failed} failed, "
        f"{done.uncertain} uncertain, {done.cancelled} no longer wanted, "
        f"{done.postponed} put off by quiet hours."
    )


def _seen(seen: Watch) -> str:
    return (
        f"Reminders go out: {seen.waiting} waiting, {seen.failed} failed, "
        f"{seen.uncertain} uncertain, {seen.maybe_twice} may have been sent twice."
    )

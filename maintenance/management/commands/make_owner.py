"""``manage.py make_owner``: the first person who can sign in to an account."""

import getpass
import sys
from typing import Any

from django.core.management.base import CommandError, CommandParser
from django.utils import timezone

from maintenance.management.plain import PlainCommand
from maintenance.services.accounts import LOCAL, account_named
from maintenance.services.people.accept import has_user
from maintenance.services.people.owners import make_owner


class Command(PlainCommand):
    """Ask for a password, and make a person an owner."""

    needs_database = True
    help = (
        "Make a person an owner of an account, so that people can sign in. The password "
        "is asked for twice; where nobody types, its one line is read from standard "
        "input. Whoever signs in here already keeps their password."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        """Take the address, the name and the account."""
        parser.add_argument("email", help="the address to sign in with")
        parser.add_argument("--name", required=True, help="as it shall stand on lists")
        parser.add_argument(
            "--account", default=LOCAL, help="default: the one of this machine"
        )

    def answer(self, **options: Any) -> None:
        """Make the owner."""
        account = account_named(options["account"])
        email = options["email"].strip().lower()
        password = "" if has_user(email) else _ask_password()
        made = make_owner(
            account,
            email=email,
            name=options["name"],
            password=password,
            now=timezone.now(),
        )
        kept = "" if made else " with the password they have"
        self.show(
            f"{email} owns {account.name} and signs in{kept}. Start the pages with "
            "IRRIGATION_ACCOUNTS=1."
        )


def _ask_password() -> str:
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    password = getpass.getpass("Password (at least 12 characters): ")
    if getpass.getpass("The same again: ") != password:
        raise CommandError("The two passwords differ: nothing was made, try again.")
    return password

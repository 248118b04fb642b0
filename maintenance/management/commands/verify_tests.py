"""Whether the signed tests are still what was signed."""

from argparse import ArgumentParser
from typing import Any

from maintenance.engine.errors import EngineError
from maintenance.management.plain import PlainCommand
from maintenance.services.accounts import account_named
from maintenance.services.backflow.verify import verify_records


class Command(PlainCommand):
    """Work each chain of signed tests out again; name what does not fit."""

    help = (
        "Work the chains of signed tests out again and name each record that was "
        "changed, is missing or stands out of order; exit code 1 if there is one."
    )
    needs_database = True

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Declare the account."""
        parser.add_argument(
            "--account", metavar="ID", help="one account only; all if not given"
        )

    def answer(self, **options: Any) -> None:
        """Verify and say so."""
        account = account_named(options["account"]) if options["account"] else None
        found = verify_records(
            account, progress=lambda count: self.say(f"{count:,} looked at …")
        )
        records = _counted(found.records, "signed test")
        chains = _counted(found.chains, "chain")
        for finding in found.findings:
            self.show(str(finding))
        if found.findings:
            raise EngineError(
                f"{_counted(len(found.findings), 'finding')} in {records}: keep a copy "
                "of the database as it is, and compare it with a backup."
            )
        self.show(f"{records} in {chains}: each is as it was signed.")


def _counted(number: int, what: str) -> str:
    return f"{number:,} {what}{'' if number == 1 else 's'}"

"""Commands that answer in plain sentences.

Whatever goes wrong, a person reads one sentence on standard error and the exit
code is 1. A fault of the program itself is named as such; only then does
``--traceback`` show more.
"""

import errno
import os
import sys
from abc import ABC, abstractmethod
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, NoReturn

from django.core.exceptions import ImproperlyConfigured
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import DatabaseError

from maintenance.engine.errors import EngineError
from maintenance.management.database import prepare_database


class PlainCommand(BaseCommand, ABC):
    """A command whose `answer` may let our errors and those of files pass.

    A subclass writes `answer`, prints its result with `show`, tells the person
    who waits how far it is with `say`, and sets `needs_database` if it
    reads or writes sites that are kept: then the database is made, or brought up
    to date, before `answer` runs.
    """

    needs_database = False
    requires_system_checks = ()
    suppressed_base_arguments = {  # noqa: RUF012  (Django's own type)
        "--version",
        "--verbosity",
        "--settings",
        "--pythonpath",
        "--traceback",
        "--no-color",
        "--force-color",
        "--skip-checks",
    }

    @abstractmethod
    def answer(self, **options: Any) -> None:
        """Do the work."""

    def say(self, sentence: str) -> None:
        """Tell the person who waits, on standard error, at once."""
        self.stderr.write(sentence, self.style.NOTICE)
        self.stderr.flush()

    def show(self, text: str) -> None:
        """Print part of the result, at once; `say` keeps out of its way."""
        self.stdout.write(text)
        self.stdout.flush()

    def handle(self, *_args: Any, **options: Any) -> None:
        """Run `answer` and turn what it raises into a `CommandError`."""
        with told_plainly():
            if self.needs_database:
                prepare_database(say=self.say)
            self.answer(**options)

    def create_parser(
        self, prog_name: str, subcommand: str, **kwargs: Any
    ) -> CommandParser:
        """Make a parser that raises instead of printing its usage and exiting."""
        parser = super().create_parser(prog_name, subcommand, **kwargs)
        parser.called_from_command_line = False
        return parser

    def execute(self, *args: Any, **options: Any) -> str | None:
        """Run the command; from the shell, an error is a sentence and exit code 1."""
        try:
            return super().execute(*args, **options)
        except CommandError as refusal:
            if not self._from_shell or options.get("traceback"):
                raise
            self._refuse(str(refusal), refusal.returncode)
        except KeyboardInterrupt:
            if not self._from_shell:
                raise
            self._refuse("Stopped.", 130)
        except BrokenPipeError:
            _forget_standard_output()
            raise SystemExit(1) from None
        except Exception as fault:
            if not self._from_shell or options.get("traceback"):
                raise
            self._refuse(
                "The program itself failed here; your input is not to blame "
                f"({type(fault).__name__}: {_first_line(fault)}). Run the same command "
                "with --traceback and report what it prints."
            )

    def run_from_argv(self, argv: list[str]) -> None:
        """Run from the shell; a wrong option is a sentence too."""
        try:
            super().run_from_argv(argv)
        except CommandError as refusal:
            if "--traceback" in argv:
                raise
            usage = str(refusal).removeprefix("Error: ").rstrip(".")
            self._refuse(
                f"{usage[:1].upper()}{usage[1:]}: see `{argv[0]} {argv[1]} --help`."
            )

    @property
    def _from_shell(self) -> bool:
        return bool(getattr(self, "_called_from_command_line", False))

    def _refuse(self, sentence: str, code: int = 1) -> NoReturn:
        self.stderr.write(sentence)
        raise SystemExit(code) from None


@contextmanager
def told_plainly() -> Iterator[None]:
    """Turn errors that a person can mend into a `CommandError` of one sentence."""
    try:
        yield
    except (EngineError, ImproperlyConfigured) as refusal:
        raise CommandError(str(refusal)) from refusal
    except UnicodeDecodeError as fault:
        raise CommandError(
            f"The file is not UTF-8 text (byte {fault.start + 1} cannot be read): "
            "save it as UTF-8 and try again."
        ) from fault
    except BrokenPipeError:
        raise
    except OSError as fault:
        raise CommandError(_sentence_for(fault)) from fault
    except DatabaseError as fault:
        raise CommandError(
            f"The database does not do what was asked ({_first_line(fault)}): see "
            "that it runs, that DATABASE_URL or IRRIGATION_DATA names it and that "
            "the disk is not full."
        ) from fault


def _sentence_for(fault: OSError) -> str:
    name = fault.filename or "A file"
    match fault.errno:
        case errno.ENOENT:
            return f"There is no file {name}: check the name and the folder."
        case errno.EISDIR:
            return f"{name} is a folder: name a file in it."
        case errno.EACCES | errno.EPERM:
            return f"{name} may not be opened by you: ask for the right to, or copy it."
        case errno.ENOSPC:
            return "The disk is full: make room and try again."
        case _:
            return f"{name} cannot be used ({fault.strerror or fault}): check it."


def _first_line(fault: Exception) -> str:
    lines = str(fault).strip().splitlines()
    return lines[0].rstrip(".") if lines else "no more is known"


def _forget_standard_output() -> None:
    """Let Python's last flush go nowhere: the reader of our output has gone."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())

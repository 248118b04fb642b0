"""Whatever goes wrong in a command, a person reads one sentence."""

import sqlite3
from pathlib import Path
from typing import Any

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.core.management import CommandError
from django.db import OperationalError

from maintenance.engine.errors import InputError
from maintenance.management.plain import PlainCommand


class Reading(PlainCommand):
    """Reads a file, or fails as it is told."""

    fault: Exception | None = None

    def add_arguments(self, parser):
        parser.add_argument("file", nargs="?", default=None)
        parser.add_argument("--passes", type=int)

    def answer(self, **options: Any) -> None:
        if self.fault is not None:
            raise self.fault
        self.show(Path(options["file"]).read_text(encoding="utf-8"))


def from_the_shell(capsys, *words: str, fault: Exception | None = None):
    command = Reading()
    command.fault = fault
    code = 0
    try:
        command.run_from_argv(["manage.py", "reading", *words])
    except SystemExit as end:
        code = int(end.code or 0)
    printed = capsys.readouterr()
    return code, printed.out, printed.err


def test_a_file_is_read(capsys, tmp_path):
    path = tmp_path / "a.txt"
    path.write_text("seen", encoding="utf-8")
    assert from_the_shell(capsys, str(path)) == (0, "seen\n", "")


@pytest.mark.parametrize(
    ("fault", "part"),
    [
        (InputError('length: "120" has no unit; write "120 ft"'), "has no unit"),
        (ImproperlyConfigured("The key can be read by others."), "read by others"),
        (
            PermissionError(13, "Permission denied", "a.json"),
            "a.json may not be opened",
        ),
        (OSError(28, "No space left on device"), "disk is full"),
        (OperationalError("connection refused\nat 5432"), "(connection refused)"),
        (KeyError("zone"), "The program itself failed"),
        (sqlite3.Error("odd"), "The program itself failed"),
    ],
)
def test_each_error_is_one_sentence_and_exit_code_1(capsys, fault, part):
    code, out, err = from_the_shell(capsys, fault=fault)
    assert (code, out) == (1, "")
    assert part in err
    assert err.count("\n") == 1
    assert "Traceback" not in err


def test_a_missing_file_a_folder_and_bytes_are_named(capsys, tmp_path):
    assert "There is no file" in from_the_shell(capsys, str(tmp_path / "no.json"))[2]
    assert "is a folder" in from_the_shell(capsys, str(tmp_path))[2]
    (tmp_path / "bytes").write_bytes(b"ab\xff")
    assert (
        "not UTF-8 text (byte 3 " in from_the_shell(capsys, str(tmp_path / "bytes"))[2]
    )


@pytest.mark.parametrize(
    ("words", "part"),
    [
        (["--passes", "many"], "Argument --passes: invalid int value: 'many'"),
        (["--colour"], "Unrecognized arguments: --colour"),
    ],
)
def test_a_wrong_option_is_a_sentence_that_names_the_help(capsys, words, part):
    code, _out, err = from_the_shell(capsys, *words)
    assert code == 1
    assert err == f"{part}: see `manage.py reading --help`.\n"


def test_ctrl_c_is_quiet(capsys):
    class Stopped(Reading):
        def answer(self, **_options):
            raise KeyboardInterrupt

    with pytest.raises(SystemExit) as end:
        Stopped().run_from_argv(["manage.py", "stopped"])
    assert end.value.code == 130
    assert capsys.readouterr().err == "Stopped.\n"


def test_traceback_shows_a_fault_of_the_program():
    command = Reading()
    command.fault = KeyError("zone")
    with pytest.raises(KeyError):
        command.run_from_argv(["manage.py", "reading", "--traceback"])


def test_called_from_code_it_raises_for_the_caller():
    command = Reading()
    command.fault = InputError("a sentence")
    with pytest.raises(CommandError, match="a sentence"):
        command.execute(
            file=None, force_color=False, no_color=False, skip_checks=True, stdout=None
        )

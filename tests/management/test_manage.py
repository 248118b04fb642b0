"""``manage.py`` itself: what it says where it cannot run."""

import ast
import subprocess
import sys
from pathlib import Path

OLD_PYTHON = (
    "import runpy, sys\n"
    "sys.version_info = (3, 9, 2, 'final', 0)\n"
    "runpy.run_path({path!r}, run_name='__main__')\n"
)


def ran(*words: str) -> tuple[int, str]:
    done = subprocess.run(
        [sys.executable, *words], capture_output=True, text=True, check=False
    )
    return done.returncode, done.stderr


def test_an_older_python_is_told_what_to_install(repository: Path):
    path = repository / "manage.py"
    code, err = ran("-c", OLD_PYTHON.format(path=str(path)))
    assert code == 1
    assert err.startswith("This tool needs Python 3.11 or newer and this is Python 3.9")
    assert err.count("\n") == 1
    # ... and an older one can read the file as far as that.
    ast.parse(path.read_text(encoding="utf-8"), feature_version=(3, 6))


def test_a_python_without_the_packages_is_told_what_to_run(repository: Path):
    code, err = ran("-S", "-E", str(repository / "manage.py"), "serve")
    assert code == 1
    assert "pip install -e ." in err
    assert err.count("\n") == 1


def test_an_unknown_command_is_a_sentence(repository: Path):
    code, err = ran(str(repository / "manage.py"), "no_such_command")
    assert code == 1
    assert "Unknown command: 'no_such_command'" in err
    assert "Traceback" not in err

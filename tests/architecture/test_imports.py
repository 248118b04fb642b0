"""Arrows point down only; the rules themselves are shown to bite."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from importlinter.cli import lint_imports

from tests.architecture.sources import REPOSITORY

CONFIGURATION = REPOSITORY / "pyproject.toml"
ROOMS = (
    "documents",
    "engine",
    "exchange",
    "management",
    "migrations",
    "models",
    "services",
    "web",
)


def test_the_import_rules_hold(monkeypatch):
    monkeypatch.chdir(REPOSITORY)
    monkeypatch.setattr(sys, "path", [*sys.path])
    assert lint_imports(str(CONFIGURATION), no_cache=True, no_logo=True) == 0


@pytest.fixture
def small_house(tmp_path: Path) -> Path:
    """A tree with the rooms of ours and nothing in them."""
    folders = ["irrigation_site", "maintenance", *(f"maintenance/{r}" for r in ROOMS)]
    for folder in folders:
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "__init__.py").touch()
    engine = ("air", "site", "units", "unit_factors")
    for name in (*(f"engine/{room}" for room in engine), "models/zones"):
        (tmp_path / "maintenance" / f"{name}.py").touch()
    for name in ("services/plans", "web/pages", "exchange/files"):
        (tmp_path / "maintenance" / f"{name}.py").touch()
    return tmp_path


def verdict(house: Path) -> tuple[int, str]:
    """Run the rules over another tree, in a process that cannot see ours."""
    program = (
        "import sys\n"
        "from importlinter.cli import lint_imports\n"
        f"sys.exit(lint_imports({str(CONFIGURATION)!r}, no_cache=True, no_logo=True))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=house,
        env=os.environ | {"PYTHONPATH": str(house)},
        capture_output=True,
        text=True,
        check=False,
    )
    return done.returncode, done.stdout + done.stderr


def test_what_is_allowed_passes(small_house):
    lines = {
        "engine/unit_factors.py": "import pint\n",
        "models/zones.py": "from maintenance.engine import site, units\n",
        "services/plans.py": "from maintenance.engine import air\n"
        "from maintenance.models import zones\n",
        "web/pages.py": "from maintenance.services import plans\n"
        "from typing import TYPE_CHECKING\n"
        "if TYPE_CHECKING:\n    from maintenance.models import zones\n",
    }
    for name, text in lines.items():
        (small_house / "maintenance" / name).write_text(text)
    code, text = verdict(small_house)
    assert code == 0, text


@pytest.mark.parametrize(
    ("module", "line"),
    [
        ("engine/air.py", "import django"),
        ("engine/air.py", "import sqlite3"),
        ("engine/air.py", "import urllib.request"),
        ("engine/air.py", "import pint"),
        ("engine/air.py", "from maintenance.models import zones"),
        ("models/zones.py", "from maintenance.engine import air"),
        ("models/zones.py", "from maintenance.services import plans"),
        ("services/plans.py", "from maintenance.exchange import files"),
        ("exchange/files.py", "from maintenance.models import zones"),
        ("exchange/files.py", "from maintenance.services import plans"),
        ("web/pages.py", "from maintenance.models import zones"),
        ("web/pages.py", "from maintenance import management"),
        ("errands/__init__.py", ""),
    ],
)
def test_what_is_forbidden_is_found(small_house, module, line):
    path = small_house / "maintenance" / module
    path.parent.mkdir(exist_ok=True)
    path.write_text(f"{line}\n")
    code, text = verdict(small_house)
    assert code == 1, text
    assert "BROKEN" in text or "missing" in text.lower(), text


def test_a_cycle_is_found(small_house):
    services = small_house / "maintenance" / "services"
    (services / "plans.py").write_text("from maintenance.services import seasons\n")
    (services / "seasons.py").write_text("from maintenance.services import plans\n")
    code, text = verdict(small_house)
    assert code == 1, text
    assert "cycle" in text.lower()

"""Where things stand, and how large they may be."""

import os

from tests.architecture.sources import PACKAGES, REPOSITORY, modules

TOP_LEVEL = {
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "fixtures",
    "irrigation_site",
    "maintenance",
    "manage.py",
    "pyproject.toml",
    "tests",
}
LEFT_BY_TOOLS = {"__pycache__", "build", "dist", "irrigation_maintenance.egg-info"}
NAMES_THAT_SAY_NOTHING = {"base_views", "common", "helpers", "misc", "shared", "utils"}
MOST_LINES = 300


def test_the_top_level_holds_the_fixed_names_and_no_other():
    found = {path.name for path in REPOSITORY.iterdir() if path.name[0] != "."}
    assert found - LEFT_BY_TOOLS == TOP_LEVEL


def test_no_module_is_longer_than_three_hundred_lines():
    lengths = {
        str(path): len((REPOSITORY / path).read_text(encoding="utf-8").splitlines())
        for path in modules(*PACKAGES)
    }
    assert len(lengths) > 20
    assert {path: n for path, n in lengths.items() if n > MOST_LINES} == {}


def test_every_module_is_named_for_its_subject():
    names = {
        str(path)
        for path in modules(*PACKAGES)
        if NAMES_THAT_SAY_NOTHING & {path.stem, *path.parts}
    }
    assert names == set()


def test_the_application_itself_imports_nothing():
    text = (REPOSITORY / "maintenance" / "__init__.py").read_text(encoding="utf-8")
    assert text.strip() == ""


def test_what_is_started_by_name_has_its_run_bit():
    for name in ("manage.py", ".ci/run"):
        assert os.access(REPOSITORY / name, os.X_OK), name

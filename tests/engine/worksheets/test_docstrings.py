"""Every public function of the formulas states a unit for each argument."""

import importlib
import inspect
import pkgutil
import re

import pytest

import maintenance.engine.air
import maintenance.engine.backflow
import maintenance.engine.backflow.due
import maintenance.engine.calendar
import maintenance.engine.climate
import maintenance.engine.freezing
import maintenance.engine.pipes
import maintenance.engine.startup
import maintenance.engine.worksheets

PACKAGES = (
    maintenance.engine.air,
    maintenance.engine.backflow,
    maintenance.engine.backflow.due,
    maintenance.engine.calendar,
    maintenance.engine.freezing,
    maintenance.engine.climate,
    maintenance.engine.pipes,
    maintenance.engine.startup,
    maintenance.engine.worksheets,
)
MODULES = [
    "maintenance.engine.friction",
    "maintenance.engine.line_loss",
    "maintenance.engine.water",
    *(
        f"{package.__name__}.{info.name}"
        for package in PACKAGES
        for info in pkgutil.iter_modules(package.__path__)
    ),
]
FUNCTIONS = [
    function
    for module in MODULES
    for name, function in inspect.getmembers(importlib.import_module(module))
    if callable(function)
    and not inspect.isclass(function)
    and getattr(function, "__module__", "") == module
    and not name.startswith("_")
]


def section(document, title):
    found = re.search(
        rf"^{title}\n-+\n(.*?)(?=^\w[\w ]*\n-+$|\Z)", document, re.M | re.S
    )
    return found.group(1) if found else ""


def units_by_parameter(text):
    blocks = re.split(r"^(?=\S)", text, flags=re.M)
    units = {}
    for block in filter(str.strip, blocks):
        names = block.split(":", 1)[0]
        for name in names.split(","):
            units[name.strip()] = bool(re.search(r"\[[^\]]+\]", block))
    return units


def test_there_are_functions_to_look_at():
    assert len(FUNCTIONS) > 40


@pytest.mark.parametrize("function", FUNCTIONS, ids=lambda f: f.__qualname__)
def test_each_argument_and_the_result_carry_a_unit(function):
    document = inspect.getdoc(function) or ""
    units = units_by_parameter(section(document, "Parameters"))
    parameters = set(inspect.signature(function).parameters)
    assert parameters == set(units)
    assert all(units.values()), units
    assert re.search(r"\[[^\]]+\]", section(document, "Returns"))


def test_a_missing_unit_would_be_noticed():
    units = units_by_parameter("a : float\n    Length [m].\nb : float\n    Other.\n")
    assert units == {"a": True, "b": False}

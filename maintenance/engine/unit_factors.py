"""Factors of the trade units to SI, read from our own small table by pint."""

import re
from functools import lru_cache
from importlib.resources import files

import pint

from maintenance.engine.errors import InputError

LONGEST_UNIT = 60
_TOWER = re.compile(r"(\*\*|\^)\s*[^-+0-9.\s]|\d{3,}|(\*\*|\^)[^/*]*(\*\*|\^)")
"""Powers of powers, which would keep a parser busy for ever."""


@lru_cache(maxsize=1)
def _registry() -> "pint.UnitRegistry[float]":
    registry: pint.UnitRegistry[float] = pint.UnitRegistry(None)
    text = files("maintenance.engine").joinpath("trade_units.txt").read_text("utf-8")
    registry.load_definitions(
        [line for line in text.splitlines() if line and not line.startswith("#")]
    )
    return registry


@lru_cache(maxsize=2048)
def unit_factor(unit: str) -> tuple[float, str]:
    """Return the factor to SI and the dimensionality of a unit text.

    Parameters
    ----------
    unit : str
        Unit as written, without a number. [-]

    Returns
    -------
    tuple of float and str
        Factor to SI base units and pint's dimensionality. [-]

    Raises
    ------
    InputError
        If the unit is not one of ours.
    """
    if len(unit) > LONGEST_UNIT or _TOWER.search(unit):
        raise InputError(f'"{unit[:LONGEST_UNIT]}" is not a unit that the tool knows')
    plain = unit.replace("^", "**").replace("²", "2").replace("³", "3")
    plain = re.sub(r"(?<=[A-Za-z0-9])[.·](?=[A-Za-z])", "*", plain)
    plain = re.sub(r"(?<!delta_)\bdeg([FC])\b", r"delta_deg\1", plain)
    try:
        parsed = _registry().parse_units(plain) if plain else _registry().Unit("")
        base = (1.0 * parsed).to_base_units()
    except Exception as error:  # pint raises a dozen kinds
        raise InputError(f'"{unit}" is not a unit that the tool knows') from error
    # In a fixed order: a product written the other way round is the same kind.
    powers = sorted(
        f"{name}**{power:g}" for name, power in parsed.dimensionality.items()
    )
    return float(base.magnitude), " * ".join(powers)

"""The setting of each row, and at most three settings for a sheet."""

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from maintenance.engine.constants import STANDARD_GRAVITY, WATER_DENSITY
from maintenance.engine.units import parse_quantity

HIGHEST_CHOICE_PA = parse_quantity("50 psi", "pressure")
"""Highest setting that the tool chooses by itself; common practice, no source."""
DESIGN_SPEED = parse_quantity("5 ft/s", "velocity")
"""Design limit of the water's speed; UF/IFAS, Boman, chapter 21, as published."""
MOST_SETTINGS = 3


@dataclass(frozen=True, slots=True)
class Group:
    """Rows that are blown at one setting (gauge). [Pa]."""

    setting_pa: float
    rows: tuple[str, ...]


def lift_pressure(lift_m: float) -> float:
    """Return the gauge pressure that just holds water up at the highest outlet.

    Parameters
    ----------
    lift_m : float
        Highest outlet over the port, with what its check holds. [m]

    Returns
    -------
    float
        Pressure, never negative. [Pa]
    """
    return WATER_DENSITY * STANDARD_GRAVITY * max(lift_m, 0.0)


def own_setting(
    *,
    limit_pa: float,
    lift_m: float,
    step_pa: float,
    trial_pa: float,
    trial_speed: float,
    first_pipe_pa: float,
) -> float:
    """Choose the setting of one row.

    Parameters
    ----------
    limit_pa : float
        The row's limit at the gauge. [Pa]
    lift_m : float
        Highest outlet over the port. [m]
    step_pa : float
        Step of the regulator. [Pa]
    trial_pa, trial_speed : float
        A setting tried, and the water's peak speed at it. [Pa], [m/s]
    first_pipe_pa : float
        What the first pipe stands at the temperature it reaches. [Pa]

    Returns
    -------
    float
        Gauge setting, rounded down to the step; 0 where no step fits. [Pa]

    Notes
    -----
    The water's speed grows as the root of the pressure over what lifts it.
    """
    lift = lift_pressure(lift_m)
    slow = math.inf
    if trial_speed > DESIGN_SPEED:
        slow = lift + (trial_pa - lift) * (DESIGN_SPEED / trial_speed) ** 2
    needed = math.ceil(lift / step_pa + 1e-9) * step_pa
    choice = min(limit_pa, HIGHEST_CHOICE_PA, max(slow, needed), first_pipe_pa)
    return on_step(choice, step_pa)


def on_step(pressure_pa: float, step_pa: float) -> float:
    """Round a pressure down to a step of the regulator.

    Parameters
    ----------
    pressure_pa : float
        Gauge pressure. [Pa]
    step_pa : float
        Step. [Pa]

    Returns
    -------
    float
        Highest step not above it. [Pa]
    """
    return math.floor(pressure_pa / step_pa + 1e-9) * step_pa


def group_settings(
    own: Mapping[str, float],
    needs: Mapping[str, float],
    *,
    most: int = MOST_SETTINGS,
) -> dict[str, float]:
    """Lower the zones' settings to a few, losing as little as possible.

    Parameters
    ----------
    own : mapping of str to float
        Own setting of each zone. [Pa]
    needs : mapping of str to float
        What each zone needs at least to lift its water. [Pa]
    most : int
        Settings allowed. [-]

    Returns
    -------
    dict of str to float
        Setting of each zone; never above its own. [Pa]
    """
    levels = sorted(set(own.values()), reverse=True)
    best: tuple[float, dict[str, float]] | None = None
    for kept in _choices(levels, most):
        chosen = {
            key: max(level for level in kept if level <= value)
            for key, value in own.items()
        }
        loss = sum(
            own[key] - value + (1e9 if value < needs[key] else 0.0)
            for key, value in chosen.items()
        )
        if best is None or loss < best[0]:
            best = (loss, chosen)
    return best[1] if best else {}


def _choices(levels: Sequence[float], most: int) -> list[tuple[float, ...]]:
    """Return every set of that many levels that keeps the lowest."""
    if not levels:
        return []
    size = min(most, len(levels)) - 1
    return [
        (*picked, levels[-1]) for picked in itertools.combinations(levels[:-1], size)
    ]


def as_groups(settings: Mapping[str, float]) -> tuple[Group, ...]:
    """Collect rows by setting, in the order in which they are run.

    Parameters
    ----------
    settings : mapping of str to float
        Setting of each row, in running order. [Pa]

    Returns
    -------
    tuple of Group
        Highest setting first. [Pa]
    """
    values = sorted(set(settings.values()), reverse=True)
    return tuple(
        Group(v, tuple(key for key, s in settings.items() if s == v)) for v in values
    )

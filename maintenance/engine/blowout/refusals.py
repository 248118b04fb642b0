"""Why a row gets no setting: one sentence each, with what to do."""

from maintenance.engine.blowout.limits import RowLimit
from maintenance.engine.blowout.machine import Machine
from maintenance.engine.blowout.rows import Row
from maintenance.engine.blowout.settings import lift_pressure
from maintenance.engine.units import UnitSystem, display


def why_blocked(row: Row, limit: RowLimit, machine: Machine, units: UnitSystem) -> str:
    """Say why a row gets no setting at all.

    Parameters
    ----------
    row : Row
        The row. [-]
    limit : RowLimit
        Its limit. [Pa]
    machine : Machine
        The compressor. [-]
    units : str
        Units in which the sentences are written, ``us`` or ``si``. [-]

    Returns
    -------
    str
        One sentence with the mend, empty where nothing is in the way. [-]
    """
    if row.problems:
        return " ".join(text for _, text in row.problems)
    if limit.limit_pa is None:
        return limit.text
    if not machine.fitted:
        return (
            "No setting: no pressure regulator is recorded on this compressor. Fit one "
            "with a gauge and a relief valve, and enter it."
        )
    if machine.air_kg_per_s <= 0.0:
        return "This compressor delivers no air: enter its free air delivery."
    return _out_of_reach(row, limit.limit_pa, machine, units)


def _out_of_reach(
    row: Row, limit_pa: float, machine: Machine, units: UnitSystem
) -> str:
    limit = display(limit_pa, "pressure", units, "down")
    if machine.lowest_pa > limit_pa:
        lowest = display(machine.lowest_pa, "pressure", units)
        return (
            f"No setting: the regulator goes down to {lowest} only, above the limit of "
            f"{limit}. Fit one with a lower range."
        )
    lift = lift_pressure(row.lift_m)
    if lift >= limit_pa:
        needed = display(lift, "pressure", units, "up")
        return (
            f"The highest outlet needs {needed} to lift the water, above the limit of "
            f"{limit}. Blow from a higher port, or drain the low part first."
        )
    return ""


def no_step(row: Row, limit: RowLimit, machine: Machine, units: UnitSystem) -> str:
    """Say that no step of the regulator fits under a limit.

    Parameters
    ----------
    row : Row
        The row. [-]
    limit : RowLimit
        Its limit. [Pa]
    machine : Machine
        The compressor. [-]
    units : str
        Units in which the sentences are written, ``us`` or ``si``. [-]

    Returns
    -------
    str
        One sentence with the mend. [-]
    """
    return (
        f"No step of the regulator ({display(machine.step_pa, 'pressure', units)}) fits "
        f"under {display(limit.limit_pa, 'pressure', units, 'down')} for {row.key}; fit a "
        "finer one."
    )

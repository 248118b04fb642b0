"""The figures of a sheet: each with its method, sources, inputs and assumptions."""

from maintenance.engine.blowout.prepare import Prepared
from maintenance.engine.blowout.sheet import RowSheet
from maintenance.engine.figure import Figure, Input
from maintenance.engine.units import display

NOT_VALIDATED = (
    "Verified against an independent solver, not validated against any measurement"
)
_FRONT = (
    "Rigid water column in a tree of pipes, heads as q = k √p, air pocket fed through "
    "the hose, long-bubble front law"
)
_FRONT_SOURCES = (
    "Bendiksen 1984 after Nicklin 1962 (constants from memory)",
    "Churchill 1977 (friction)",
)


def sheet_figures(prepared: Prepared, rows: tuple[RowSheet, ...]) -> dict[str, Figure]:
    """Collect the figures of the rows that have them.

    Parameters
    ----------
    prepared : Prepared
        The sheet's decisions. [-]
    rows : tuple of RowSheet
        Rows shown. [-]

    Returns
    -------
    dict of str to Figure
        Keys such as ``4.limit_pressure_pa``. [-]
    """
    figures: dict[str, Figure] = {}
    for row in rows:
        figures.update(_row_figures(prepared, row))
    return figures


def _row_figures(prepared: Prepared, row: RowSheet) -> dict[str, Figure]:
    key = row.row.key
    inputs = _inputs(prepared, row)
    figures = {
        f"{key}.limit_pressure_pa": Figure(
            row.limit.limit_pa,
            "pressure",
            f"Least over all parts on the way, less the static head down to them: "
            f"{row.limit.part}. {row.limit.text}",
            ("Caps: Colorado State University Extension 4.719; common practice",),
            inputs,
            row.limit.reasons[:6],
            rounding="down",
            missing=row.verdict_text,
        )
    }
    if row.displacement is None or row.gauge is None:
        return figures
    figures[f"{key}.displacement.time_s"] = Figure(
        row.displacement.time_s,
        "time",
        _FRONT,
        _FRONT_SOURCES,
        inputs,
        (NOT_VALIDATED,),
        rounding="up",
        missing=row.verdict_text,
    )
    figures[f"{key}.gauge.dry_pa"] = Figure(
        row.gauge.dry_pa,
        "pressure",
        "Steady balance of compressor, hose, dry pipes and heads: isothermal pipe flow "
        "with choking, heads by the nozzle law with the water's effective area",
        (
            "Crane TP-410 (isothermal flow)",
            "IEC 60534-2-1 (second route, widens the band)",
        ),
        inputs,
        (row.gauge.why_not,) if row.gauge.why_not else (),
        in_range=row.gauge.usable,
    )
    figures[f"{key}.least_free_air_m3_per_s"] = Figure(
        row.least_free_air_m3_per_s,
        "air_flow",
        "Smallest steady free air that clears the row within three passes without "
        "rests, same tank, hose and setting; interpolated between deliveries tried",
        ("Wallis 1969 (constant from memory)", "Taitel and Dukler 1976"),
        inputs,
        (
            NOT_VALIDATED,
            "A place may keep half its bore after settling (project choice)",
        ),
        rounding="up",
        missing="No delivery clears it with this hose: a bigger hose or a drain is needed.",
    )
    figures[f"{key}.stored_energy_j"] = Figure(
        row.stored_energy_j,
        "energy",
        "Energy of the air in the row's pipes at the setting",
        ("ASME PCC-2-2008, Article 5.1, Appendix II",),
        inputs,
        (),
        rounding="up",
    )
    return figures


def _inputs(prepared: Prepared, row: RowSheet) -> tuple[Input, ...]:
    machine, units = prepared.machine, prepared.units
    free = machine.air_kg_per_s * machine.rt / machine.atmosphere_pa
    water = display(row.row.volume_m3, "volume", units)
    result = [
        Input(
            f"{machine.key}: free air, mean",
            display(free, "air_flow", units),
            "label",
        ),
        Input(
            "air and ground",
            display(machine.temperature_k, "temperature", units),
            "stated",
        ),
        Input("water in the row's pipes", water, "computed"),
    ]
    if row.set_pressure_pa is not None:
        setting = display(row.set_pressure_pa, "pressure", units, "down")
        result.append(Input("setting", setting, "computed"))
    return tuple(result)

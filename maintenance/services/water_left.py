"""Where water is left on a site that was read already, after the usual shutdown."""

from collections.abc import Collection

from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.positions import winter_positions
from maintenance.engine.procedure.water_left import WaterLeft, water_left
from maintenance.engine.site import Site
from maintenance.engine.site.card import site_from_card
from maintenance.engine.units import UnitSystem


def water_left_of(
    site: Site,
    *,
    sheet: Sheet | None = None,
    skipped: Collection[str] = (),
    frost_depth_m: float | None = None,
    units: UnitSystem = "us",
) -> WaterLeft:
    """Work out the map with every part in its winter position, in no query.

    Raises
    ------
    InputError
        If the sheet is another site's, or the frost depth is no depth.
    """
    graph = build_graph(site_from_card(site))
    rows = [row.row.key for row in sheet.rows] if sheet is not None else []
    return water_left(
        graph,
        winter_positions(graph),
        sheet=sheet,
        done_rows=[key for key in rows if key not in skipped],
        frost_depth_m=frost_depth_m,
        units=units,
    )

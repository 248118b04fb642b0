"""The tables beside the map and the profile of water: a row for each part drawn."""

from maintenance.documents.drawing.water_line import WaterLine
from maintenance.documents.drawing.words import height_number, height_unit, kind_words
from maintenance.documents.water_words import STATES, lies_words
from maintenance.engine.network.drainage import MAIN
from maintenance.engine.procedure.water_left import LinkLeft, WaterLeft
from maintenance.engine.units import UnitSystem, display, to_unit

_TOLD_BY = {"levels": "heights", "sheet": "blow-out sheet"}


def water_columns(system: UnitSystem) -> tuple[str, ...]:
    """Return the heads of the table, with the units."""
    length, volume = (to_unit(0.0, name, system)[1] for name in ("length", "volume"))
    return (
        "Part",
        "Kind",
        "Zone",
        "State",
        f"Length, {length}",
        f"Wet, {length}",
        f"Water, {volume}",
        "Lies",
        "Told by",
        "Why",
    )


def water_rows(left: WaterLeft, system: UnitSystem) -> tuple[tuple[str, ...], ...]:
    """Return a row for each link, in the order of the site."""
    return tuple(_row(left, each, system) for each in left.links)


def _row(left: WaterLeft, each: LinkLeft, system: UnitSystem) -> tuple[str, ...]:
    bore = left.graph.bores.get(each.link)
    figures = ("", "", "")
    if bore is not None:
        figures = (
            _number(bore.length_m, "length", system),
            _number(each.wet_length_m, "length", system),
            _number(each.wet_volume_m3, "volume", system),
        )
    return (
        each.link,
        kind_words(left.graph.links[each.link]),
        "main" if each.zone == MAIN else each.zone,
        STATES[each.state],
        *figures,
        lies_words(each, left.frost_depth_m),
        _TOLD_BY[each.told_by],
        each.why,
    )


def line_columns(system: UnitSystem) -> tuple[str, ...]:
    """Return the heads of the table beside the profile."""
    length, volume = (to_unit(0.0, name, system)[1] for name in ("length", "volume"))
    return (
        "Part",
        "What",
        f"Along, {length}",
        f"Elevation, {height_unit(system)}",
        "State",
        f"Water, {volume}",
        "Lies",
    )


def line_rows(line: WaterLine, system: UnitSystem) -> tuple[tuple[str, ...], ...]:
    """Return the points and pipes in their order along the line."""
    reach_at = {reach.start: reach for reach in line.reaches}
    rows: list[tuple[str, ...]] = []
    for place, station in enumerate(line.stations):
        along = _number(station.distance_m, "length", system)
        height = height_number(station.elevation_m, system)
        rows.append((station.point, station.label, along, height, "", "", ""))
        reach = reach_at.get(place)
        if reach is not None:
            water = _number(reach.volume_m3, "volume", system)
            state = STATES[reach.state]
            rows.append((reach.link, reach.pipe_text, "", "", state, water, reach.lies))
    return tuple(rows)


def _number(value: float | None, dimension: str, system: UnitSystem) -> str:
    return display(value, dimension, system, "up").split(" ", maxsplit=1)[0]

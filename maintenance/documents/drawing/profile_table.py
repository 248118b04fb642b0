"""The table and the key that stand beside a profile."""

from maintenance.documents.drawing.hatching import paint
from maintenance.documents.drawing.line import Profile, Reach, Station
from maintenance.documents.drawing.sheet import KeyLine
from maintenance.documents.drawing.svg import add, start_sample, write_svg
from maintenance.documents.drawing.words import height_number, height_unit
from maintenance.engine.units import UnitSystem, display, to_unit

_SWEPT = {True: "swept", False: "not swept", None: "not worked out"}


def profile_columns(system: UnitSystem) -> tuple[str, ...]:
    """Return the heads of the table, with the units."""
    return (
        "Part",
        "What",
        f"Along, {to_unit(0.0, 'length', system)[1]}",
        f"Elevation, {height_unit(system)}",
        f"Limit, {to_unit(0.0, 'pressure', system)[1]}",
        "Swept",
        f"Water standing, {to_unit(0.0, 'volume', system)[1]}",
    )


def profile_rows(profile: Profile, system: UnitSystem) -> tuple[tuple[str, ...], ...]:
    """Return one row for each station and reach, in order along the line."""
    water: dict[str, float] = {}
    for one in profile.standing:
        water[one.at] = water.get(one.at, 0.0) + one.volume_m3
    rows: list[tuple[float, int, tuple[str, ...]]] = []
    for station in profile.stations:
        told = _volume(water.get(station.point), system)
        row = (*_station_row(station, system), told)
        rows.append((station.distance_m, 0, row))
    for reach in profile.reaches:
        start = profile.stations[min(reach.start, reach.end)].distance_m
        told = _volume(water.get(reach.link), system)
        rows.append((start, 1, (*_reach_row(profile, reach, system), told)))
    rows.sort(key=lambda row: row[:2])
    return tuple(row for _, _, row in rows)


def _number(text: str) -> str:
    return text.split(" ", maxsplit=1)[0]


def _volume(volume_m3: float | None, system: UnitSystem) -> str:
    if volume_m3 is None:
        return ""
    return _number(display(volume_m3, "volume", system, "up", digits=1))


def _station_row(station: Station, system: UnitSystem) -> tuple[str, ...]:
    return (
        station.point,
        station.label,
        _number(display(station.distance_m, "length", system)),
        height_number(station.elevation_m, system),
        "",
        "",
    )


def _reach_row(profile: Profile, reach: Reach, system: UnitSystem) -> tuple[str, ...]:
    ends = (profile.stations[reach.start], profile.stations[reach.end])
    along = [_number(display(end.distance_m, "length", system)) for end in ends]
    up = [height_number(end.elevation_m, system) for end in ends]
    limit = display(reach.limit_pa, "pressure", system, "down")
    return (
        reach.link,
        reach.pipe_text,
        " to ".join(along),
        " to ".join(up),
        _number(limit),
        reach.mark or _SWEPT[reach.swept],
    )


def profile_key(profile: Profile, prefix: str) -> tuple[KeyLine, ...]:
    """Return what the lines and the hatching of the profile mean."""
    lines = [KeyLine(_sample(2.6), "limit of each reach")]
    if profile.setting_pa is not None:
        lines.append(KeyLine(_sample(1.6, "10 4"), "set pressure"))
    if profile.plateau_pa is not None:
        lines.append(KeyLine(_sample(1.6, "2 4"), "gauge when every pipe is dry"))
    if profile.standing:
        sample = _sample(8.0, None, paint(prefix, "standing"))
        text = "water standing; where it fills the bore, over the whole width"
        lines.append(KeyLine(sample, text))
    return tuple(lines)


def _sample(width: float, dash: str | None = None, stroke: str | None = None) -> str:
    root = start_sample()
    add(
        root,
        "path",
        d="M2 15L32 15",
        stroke_width=width,
        stroke_dasharray=dash,
        stroke=stroke,
    )
    return write_svg(root)

"""The upper panel of a profile: the pipe, the water standing in it, its stations."""

from typing import Final

from maintenance.documents.drawing.hatching import paint
from maintenance.documents.drawing.labels import Wish
from maintenance.documents.drawing.line import Profile, Reach
from maintenance.documents.drawing.panel import Panel
from maintenance.documents.drawing.sheet import Spot
from maintenance.documents.drawing.svg import Node, add, add_title, path_of
from maintenance.documents.drawing.water import water_run
from maintenance.documents.drawing.words import height_number, height_unit
from maintenance.engine.units import UnitSystem, display

_PIPE: Final = 10.0
_BORE: Final = 7.4
_RISE_M: Final = 0.01


def _ends(profile: Profile, panel: Panel, reach: Reach) -> list[Spot]:
    stations = (profile.stations[reach.start], profile.stations[reach.end])
    return [panel.spot(end.distance_m, end.elevation_m) for end in stations]


def draw_heights(
    root: Node, profile: Profile, panel: Panel, prefix: str, system: UnitSystem
) -> None:
    """Draw the pipe as two edges with a bore, the water in it, and the stations."""
    runs = [(reach, _ends(profile, panel, reach)) for reach in profile.reaches]
    for reach, spots in runs:
        group = add(root, "g", class_="drawing-mark")
        add_title(group, f"{reach.link}: {reach.pipe_text or 'pipe unknown'}")
        add(
            group,
            "path",
            d=path_of(spots),
            stroke_width=_PIPE,
            stroke_linecap="round",
        )
        for off in (-_PIPE / 2, 0.0, _PIPE / 2):
            panel.keep_clear([(x, y + off) for x, y in spots])
    for _, spots in runs:
        add(
            root,
            "path",
            class_="drawing-bore",
            d=path_of(spots),
            stroke_width=_BORE,
            stroke_linecap="round",
        )
    for water in profile.standing:
        run = water_run(profile, water)
        if run:
            volume = display(water.volume_m3, "volume", system, "up", digits=1)
            full = water.fills_bore
            group = add(root, "g", class_="drawing-mark")
            add_title(group, f"Water standing at {water.at}: {volume}")
            off = 0.0 if full else _BORE / 4
            spots = [panel.spot(*spot) for spot in run]
            add(
                group,
                "path",
                class_="drawing-water",
                d=path_of([(x, y + off) for x, y in spots]),
                stroke=paint(prefix, "standing"),
                stroke_width=_BORE if full else _BORE / 2,
            )
    _draw_stations(root, profile, panel, system)


def _draw_stations(
    root: Node, profile: Profile, panel: Panel, system: UnitSystem
) -> None:
    for station in profile.stations:
        x, y = panel.spot(station.distance_m, station.elevation_m)
        group = add(root, "g", class_="drawing-mark")
        height = f"{height_number(station.elevation_m, system)} {height_unit(system)}"
        name = f"{station.point} {station.label}".strip()
        add_title(group, f"{name}: elevation {height}")
        spots = [(x, y - _PIPE / 2 - 4), (x, y + _PIPE / 2 + 4)]
        add(group, "path", d=path_of(spots), stroke_width=1.2)


def height_wishes(profile: Profile, panel: Panel, system: UnitSystem) -> list[Wish]:
    """Return the words of the upper panel, the most wanted first."""
    wishes = [*_unswept(profile, panel), *_waters(profile, panel, system)]
    last = len(profile.stations) - 1
    order = [0, last, *range(1, last)]
    for place in order:
        station = profile.stations[place]
        height = f"{height_number(station.elevation_m, system)} {height_unit(system)}"
        name = station.label or station.point
        x, y = panel.spot(station.distance_m, station.elevation_m)
        texts = (f"{name}, {height}", name) if name else (height,)
        ends = place in (0, last)
        wishes.append(
            Wish(
                f"station {place}",
                texts,
                x,
                y,
                radius=_PIPE,
                over_lines=ends,
                leader=True,
            )
        )
    return wishes + _pipes(profile, panel)


def _unswept(profile: Profile, panel: Panel) -> list[Wish]:
    """Say in words which reaches the air does not sweep, the steepest first."""
    found = []
    for reach in profile.reaches:
        one, two = (profile.stations[end] for end in (reach.start, reach.end))
        rises = two.elevation_m - one.elevation_m > _RISE_M
        text = reach.mark or ("not swept" if reach.swept is False else "")
        if not text:
            continue
        (x1, y1), (x2, y2) = _ends(profile, panel, reach)
        wish = Wish(
            f"sweep {reach.link}",
            (text,),
            (x1 + x2) / 2,
            (y1 + y2) / 2,
            radius=_PIPE,
        )
        found.append((not rises, wish))
    found.sort(key=lambda pair: pair[0])
    return [wish for _, wish in found]


def _waters(profile: Profile, panel: Panel, system: UnitSystem) -> list[Wish]:
    wishes = []
    for water in sorted(profile.standing, key=lambda one: -one.volume_m3):
        run = water_run(profile, water)
        if not run:
            continue
        xs, ys = zip(*(panel.spot(*spot) for spot in run), strict=True)
        volume = display(water.volume_m3, "volume", system, "up", digits=1)
        full = (f"{volume}, fills the bore",) if water.fills_bore else ()
        x, y = (min(xs) + max(xs)) / 2, max(ys)
        texts = (*full, f"{volume} of water", volume)
        wishes.append(Wish(f"water {water.at}", texts, x, y, radius=_PIPE))
    return wishes


def _pipes(profile: Profile, panel: Panel) -> list[Wish]:
    """Name each run of equal pipe once, at the middle of its longest reach."""
    longest: dict[str, tuple[float, Wish]] = {}
    for reach in profile.reaches:
        if not reach.pipe_text:
            continue
        (x1, y1), (x2, y2) = _ends(profile, panel, reach)
        length = abs(x2 - x1)
        if length > longest.get(reach.pipe_text, (0.0, None))[0]:
            wish = Wish(
                f"pipe {reach.link}",
                (reach.pipe_text,),
                (x1 + x2) / 2,
                (y1 + y2) / 2,
                radius=_PIPE,
                over_lines=False,
            )
            longest[reach.pipe_text] = (length, wish)
    return [wish for _, wish in longest.values()]

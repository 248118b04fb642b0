"""The lower panel of a profile: set pressure, limits, the gauge when dry."""

from typing import Final

from maintenance.documents.drawing.labels import Wish
from maintenance.documents.drawing.line import Profile
from maintenance.documents.drawing.panel import Panel
from maintenance.documents.drawing.sheet import Spot
from maintenance.documents.drawing.svg import Node, add, add_title, path_of
from maintenance.engine.units import UnitSystem, display

_LEAST_STEP: Final = 10.0


def _steps(profile: Profile, panel: Panel) -> list[tuple[str, float, list[Spot]]]:
    """Return the limit of each reach as a level piece; a short one is kept visible."""
    steps = []
    for reach in profile.reaches:
        if reach.limit_pa is None:
            continue
        ends = [profile.stations[end].distance_m for end in (reach.start, reach.end)]
        x1, x2 = sorted(panel.along.at(end) for end in ends)
        if x2 - x1 < _LEAST_STEP:
            x1 = max(panel.along.start, (x1 + x2 - _LEAST_STEP) / 2)
            x2 = min(panel.along.end, x1 + _LEAST_STEP)
        y = panel.up.at(reach.limit_pa)
        steps.append((reach.link, reach.limit_pa, [(x1, y), (x2, y)]))
    return steps


def draw_pressures(
    root: Node, profile: Profile, panel: Panel, system: UnitSystem
) -> None:
    """Draw the limits as steps, the set pressure dashed, the dry gauge dotted."""
    left, right = panel.along.start, panel.along.end
    for value, dash, words in (
        (profile.setting_pa, "10 4", "Set pressure"),
        (profile.plateau_pa, "2 4", "Gauge when every pipe is dry"),
    ):
        if value is None:
            continue
        spots = [(left, panel.up.at(value)), (right, panel.up.at(value))]
        group = add(root, "g", class_="drawing-mark")
        add_title(group, f"{words}: {display(value, 'pressure', system, digits=1)}")
        add(group, "path", d=path_of(spots), stroke_width=1.6, stroke_dasharray=dash)
        panel.keep_clear(spots)
    before: Spot | None = None
    for link, limit, spots in _steps(profile, panel):
        joined = before is not None and abs(before[0] - spots[0][0]) < 1.0
        run = [before, *spots] if joined and before is not None else spots
        group = add(root, "g", class_="drawing-mark")
        add_title(group, f"{link}: limit {display(limit, 'pressure', system, 'down')}")
        add(group, "path", d=path_of(run), stroke_width=2.6)
        panel.keep_clear(run)
        before = spots[-1]


def pressure_wishes(profile: Profile, panel: Panel, system: UnitSystem) -> list[Wish]:
    """Return the words of the lower panel: set pressure, limits, dry gauge."""
    wishes = []
    for mark, value, words in (
        ("set", profile.setting_pa, "set"),
        ("dry", profile.plateau_pa, "dry gauge"),
    ):
        if value is not None:
            written = display(value, "pressure", system, digits=1).replace(".0 ", " ")
            wishes.append(
                Wish(
                    mark,
                    (f"{words} {written}", words),
                    panel.along.start + (20 if mark == "set" else 200),
                    panel.up.at(value),
                    radius=2.0,
                )
            )
    steps = _steps(profile, panel)
    texts_of = {
        link: display(limit, "pressure", system, "down") for link, limit, _ in steps
    }
    limits = []
    previous = ""
    for link, limit, spots in steps:
        if texts_of[link] != previous:
            (x1, y), (x2, _) = spots
            texts = (f"limit {texts_of[link]}", texts_of[link])
            wish = Wish(f"limit {link}", texts, (x1 + x2) / 2, y, radius=3.0)
            limits.append((limit, wish))
        previous = texts_of[link]
    # The lowest limit decides: it is written before the others.
    limits.sort(key=lambda pair: pair[0])
    lowest_first = [wish for _, wish in limits]
    return [*lowest_first[:1], *wishes, *lowest_first[1:], *_unknown(profile, panel)]


def _unknown(profile: Profile, panel: Panel) -> list[Wish]:
    missing = [reach for reach in profile.reaches if reach.limit_pa is None]
    if missing and len(missing) == len(profile.reaches):
        middle = (panel.along.start + panel.along.end) / 2
        x, y = middle, (panel.top + panel.bottom) / 2
        return [Wish("limits", ("limits not known",), x, y, radius=2.0)]
    wishes = []
    for reach in missing:
        ends = [profile.stations[end].distance_m for end in (reach.start, reach.end)]
        x = sum(panel.along.at(end) for end in ends) / 2
        text = ("limit unknown", "unknown")
        wishes.append(
            Wish(
                f"limit {reach.link}",
                text,
                x,
                panel.bottom - 14,
                radius=2.0,
                leader=False,
            )
        )
    return wishes

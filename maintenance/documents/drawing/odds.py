"""The odds that frost has come to each kind of part, by date, as SVG."""

from itertools import pairwise
from typing import Final

from maintenance.documents.drawing.labels import Wish, place_labels
from maintenance.documents.drawing.lettering import LINE
from maintenance.documents.drawing.odds_axes import (
    BOTTOM,
    LEFT,
    TOP,
    Frame,
    draw_axes,
    frame_of,
)
from maintenance.documents.drawing.odds_lines import (
    MARKED,
    NINE_OF_TEN,
    Odds,
    OddsLine,
    Point,
    marks_of,
    points_of,
)
from maintenance.documents.drawing.sheet import (
    LAYERS,
    WIDTH,
    Drawing,
    KeyLine,
    Label,
    Layer,
    Line,
    Spot,
)
from maintenance.documents.drawing.svg import (
    Node,
    add,
    add_labels,
    add_title,
    path_of,
    start_drawing,
    start_sample,
    write_svg,
)

TITLE: Final = "Odds that frost has come, by date, for each kind of part"
COLUMNS: Final = ("Line", "Kind of part", "10 %", "50 %", "90 %", "Winters with frost")
_HEIGHT: Final = 530.0
_DASHES: Final = (None, "9 5", "2 4", "12 4 2 4", "18 6", "5 3", "12 4 2 4 2 4")
_BAND: Final = 0.14
_DOT: Final = 3.6
_CROWDED: Final = (160.0, 80.0)


def odds_svg(odds: Odds, *, key: str = "odds") -> Drawing:
    """Draw the odds; each line must have a letter of its own.

    Raises
    ------
    ValueError
        If there is no line to draw.
    """
    if not odds.lines:
        raise ValueError("no line to draw")
    curves = [points_of(line) for line in odds.lines]
    frame = frame_of(odds, curves)
    root = start_drawing(key, TITLE, _description(odds), width=WIDTH, height=_HEIGHT)
    words = {layer.name: draw_axes(root, frame, layer) for layer in LAYERS}
    for points in curves:
        _draw_band(root, frame, points)
    today = _draw_today(root, frame, odds)
    clear: list[Line] = [(*today[0], *today[1])]
    for number, (line, points) in enumerate(zip(odds.lines, curves, strict=True)):
        spots = _draw_line(root, frame, odds, line, points, number)
        clear += [(*one, *two) for one, two in pairwise(spots)]
    labels: list[Label] = []
    for layer in LAYERS:
        placed = words[layer.name]
        wishes = [_today_wish(today, odds), *_wishes(odds, frame, curves, layer)]
        placed += _place(wishes, clear, layer, placed)
        add_labels(root, placed, layer.name, layer.size)
        labels += placed
    return Drawing(
        svg=write_svg(root),
        columns=COLUMNS,
        rows=tuple(_row(odds, line) for line in odds.lines),
        heading="",
        key=_key(odds),
        labels=tuple(labels),
        width=WIDTH,
        height=_HEIGHT,
    )


def _draw_band(root: Node, frame: Frame, points: list[Point]) -> None:
    """Shade what the date of each chance may be off, nine times of ten."""
    if not any(point.error for point in points):
        return
    early = [frame.spot(p.day - NINE_OF_TEN * p.error, p.chance) for p in points]
    late = [frame.spot(p.day + NINE_OF_TEN * p.error, p.chance) for p in points]
    add(
        root,
        "path",
        class_="drawing-band",
        d=path_of([*early, *reversed(late)]) + "Z",
        fill="currentColor",
        fill_opacity=_BAND,
        stroke="none",
    )


def _draw_today(root: Node, frame: Frame, odds: Odds) -> tuple[Spot, Spot]:
    x = frame.at(odds.today_number)
    ends = ((x, BOTTOM), (x, TOP - 20.0))
    group = add(root, "g", class_="drawing-mark")
    add_title(group, f"today: {odds.today:%a} {odds.today.day} {odds.today:%b %Y}")
    add(group, "path", d=path_of(ends), stroke_width=1.4, stroke_dasharray="1 3")
    return ends


def _draw_line(
    root: Node,
    frame: Frame,
    odds: Odds,
    line: OddsLine,
    points: list[Point],
    number: int,
) -> list[Spot]:
    spots = [frame.spot(point.day, point.chance) for point in points]
    group = add(root, "g", class_="drawing-mark")
    add_title(group, f"{line.letter}: {line.name}; {_told(odds, line)}")
    add(
        group,
        "path",
        d=path_of(spots),
        stroke_width=2.2,
        stroke_dasharray=_DASHES[number % len(_DASHES)],
    )
    for mark in marks_of(line):
        x, y = frame.spot(mark.day, mark.chance)
        if mark.chance == MARKED[1]:
            add(
                group,
                "circle",
                class_="drawing-open",
                cx=x,
                cy=y,
                r=_DOT + 0.8,
                stroke_width=1.6,
            )
        else:
            add(
                group,
                "circle",
                cx=x,
                cy=y,
                r=_DOT,
                fill="currentColor",
                stroke="none",
            )
    return spots


def _today_wish(today: tuple[Spot, Spot], odds: Odds) -> Wish:
    x, y = today[1]
    full = f"today, {odds.today:%a} {odds.today.day} {odds.today:%b}"
    return Wish("today", (full, "today"), x, y + 8.0, radius=5.0)


def _wishes(
    odds: Odds, frame: Frame, curves: list[list[Point]], layer: Layer
) -> list[Wish]:
    """Ask for a name at the end of each line; where ends crowd, for its letter."""
    ends = [frame.spot(points[-1].day, points[-1].chance) for points in curves]
    wishes = []
    for line, end in zip(odds.lines, ends, strict=True):
        texts: tuple[str, ...] = (f"{line.letter} {line.short}", line.letter)
        if layer is LAYERS[0]:
            texts = (f"{line.letter} {line.name}", *texts)
        elif sum(_close(end, other) for other in ends) > 1:
            texts = (line.letter,)
        wishes.append(Wish(line.letter, texts, *end, radius=4.0))
    return wishes


def _close(one: Spot, two: Spot) -> bool:
    """Tell whether a name at one end could be read as that of the other."""
    return abs(one[0] - two[0]) < _CROWDED[0] and abs(one[1] - two[1]) < _CROWDED[1]


def _place(
    wishes: list[Wish], clear: list[Line], layer: Layer, taken: list[Label]
) -> tuple[Label, ...]:
    return place_labels(
        wishes,
        size=layer.size,
        view=(LEFT + 2, 6 + LINE * layer.size, WIDTH - 2, BOTTOM - 2),
        marks=[],
        lines=clear,
        taken=taken,
        layer=layer.name,
    )


def _row(odds: Odds, line: OddsLine) -> tuple[str, ...]:
    reached = {mark.chance: mark for mark in marks_of(line)}
    dates = tuple(
        _date(odds, reached[chance]) if chance in reached else "not by then"
        for chance in MARKED
    )
    winters = f"{line.law.n_with} of {line.law.n}"
    return (line.letter, line.name, *dates, winters)


def _date(odds: Odds, point: Point) -> str:
    day = odds.day(point.day)
    off = max(1, round(NINE_OF_TEN * point.error))
    return f"{day.day} {day:%b %Y} ± {off} d"


def _told(odds: Odds, line: OddsLine) -> str:
    told = [
        f"{100 * mark.chance:.0f} % by {_date(odds, mark)}" for mark in marks_of(line)
    ]
    return ", ".join(told) if told else f"at most {100 * line.height:.0f} %"


def _description(odds: Odds) -> str:
    lines = [f"{line.name}: {_told(odds, line)}." for line in odds.lines]
    today = f"Today is {odds.today.day} {odds.today:%b %Y}."
    return " ".join([*lines, today])


def _key(odds: Odds) -> tuple[KeyLine, ...]:
    lines = []
    for number, line in enumerate(odds.lines):
        root = start_sample()
        add(
            root,
            "path",
            d=path_of([(0.0, 15.0), (34.0, 15.0)]),
            stroke_width=2.2,
            stroke_dasharray=_DASHES[number % len(_DASHES)],
        )
        lines.append(KeyLine(write_svg(root), f"{line.letter}: {line.name}"))
    root = start_sample()
    add(root, "circle", cx=8.0, cy=15.0, r=_DOT, fill="currentColor", stroke="none")
    add(root, "circle", cx=26.0, cy=15.0, r=_DOT + 0.8, stroke_width=1.6)
    marks = KeyLine(write_svg(root), "10 % and 90 % (dots), 50 % (ring)")
    root = start_sample()
    add(
        root,
        "path",
        d="M2 7H32V23H2Z",
        fill="currentColor",
        fill_opacity=_BAND,
        stroke="none",
    )
    band = KeyLine(
        write_svg(root),
        "where the line would lie nine times of ten, by the standard error of its dates",
    )
    return (*lines, marks, band)

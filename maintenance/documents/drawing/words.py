"""What is said of each mark: its title, its row in the table, its label."""

from typing import Final

from maintenance.documents.drawing.lettering import text_width
from maintenance.documents.drawing.svg import clean
from maintenance.engine.errors import InputError
from maintenance.engine.site import (
    Backflow,
    BlowoutPort,
    Drain,
    Head,
    IsolationValve,
    Link,
    OtherUse,
    Outlet,
    Pipe,
    Point,
    Pump,
    Supply,
    ZoneValve,
)
from maintenance.engine.units import (
    UnitSystem,
    display,
    parse_number,
    parse_quantity,
    to_unit,
)

INCH_M: Final = 0.0254
UNKNOWN: Final = "unknown"
_SOURCES: Final = {
    "public": "public water",
    "well": "well",
    "surface": "surface water",
    "tank": "tank",
}
_LONGEST_NAME_EM: Final = 24.0


def plain(word: str) -> str:
    """Write a key of the site file as words."""
    return word.replace("_", " ")


def detail(part: Point | Link) -> str:
    """Say what a part is, beyond its kind."""
    return _point_detail(part) if isinstance(part, Point) else _link_detail(part)


def _point_detail(point: Point) -> str:
    match point:
        case Supply():
            words = _SOURCES[point.source]
        case OtherUse():
            words = point.what
        case Drain():
            words = point.drain
        case Head():
            words = plain(point.head)
        case BlowoutPort() | Outlet():
            words = point.where or ""
        case _:
            words = ""
    return words


def _link_detail(link: Link) -> str:
    match link:
        case Pipe():
            words = link.pipe or link.material or "kind unknown"
        case IsolationValve():
            words = plain(link.type) if link.type else "type unknown"
        case Backflow():
            words = link.device
        case ZoneValve():
            words = f"zone {link.zone}" if link.zone is not None else ""
        case Pump():
            words = link.pump or "type unknown"
        case _:
            words = ""
    return words


def kind_words(part: Point | Link) -> str:
    """Name the kind of a part."""
    return {
        "backflow": "backflow assembly",
        "supply": "water source",
        "blowout_port": "blow-out port",
        "end": "closed end",
        "isolation_valve": "hand valve",
    }.get(part.kind, plain(part.kind))


def bore_inches(part: Point | Link) -> float | None:
    """Return the nominal size in inches; None where it is not known or not read."""
    if isinstance(part, Pipe | Backflow) and part.size:
        try:
            size, unit = parse_number(part.size)
            if unit:
                size = parse_quantity(part.size, "diameter") / INCH_M
        except InputError:
            size = 0.0
        if size > 0:
            return size
    if isinstance(part, Pipe) and part.inside_diameter is not None:
        return part.inside_diameter.value / INCH_M
    return None


def size_words(part: Point | Link, system: UnitSystem) -> str:
    """Write the nominal size of a pipe or assembly; empty for what has none."""
    if isinstance(part, Pipe | Backflow) and part.size:
        bare = all(
            character.isdigit() or character in "-/ ." for character in part.size
        )
        return f"{part.size} in" if bare else part.size
    if isinstance(part, Pipe):
        if part.inside_diameter is None:
            return UNKNOWN
        return f"{display(part.inside_diameter.value, 'diameter', system)} inside"
    if isinstance(part, Backflow):
        return UNKNOWN
    if isinstance(part, Head) and part.arc is not None:
        return f"arc {display(part.arc.value, 'angle', system)}"
    return ""


def known_pipe(pipe: Pipe) -> bool:
    """Tell whether both the kind and the size of a pipe are recorded."""
    kind = pipe.pipe or pipe.material or UNKNOWN
    return not kind.startswith(UNKNOWN) and bore_inches(pipe) is not None


def height_number(elevation_m: float, system: UnitSystem) -> str:
    """Write an elevation without its unit, with a true minus sign."""
    text = display(elevation_m, "height", system).split(" ")[0]
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text.replace("-", "−")


def height_unit(system: UnitSystem) -> str:
    """Return the unit of elevations."""
    return to_unit(0.0, "height", system)[1]


def elevation_words(
    part: Point | Link, points: dict[str, Point], system: UnitSystem
) -> str:
    """Write the elevation of a point, or of both ends of a link, without the unit."""
    if not isinstance(part, Link):
        return height_number(part.elevation.value, system)
    ends = [points[end] for end in (part.from_, part.to) if end in points]
    numbers = [height_number(end.elevation.value, system) for end in ends]
    return numbers[0] if len(set(numbers)) == 1 else " to ".join(numbers)


def title(part: Point | Link, points: dict[str, Point], system: UnitSystem) -> str:
    """Return the title of a mark: id, kind, size, elevation."""
    words = [f"{part.id}: {kind_words(part)}", detail(part), size_words(part, system)]
    if isinstance(part, Pipe):
        words.append(f"{display(part.length.value, 'length', system)} long")
    elevation = elevation_words(part, points, system)
    if elevation:
        words.append(f"elevation {elevation} {height_unit(system)}")
    return ", ".join(word for word in words if word)


def short_name(id_: str, name: str | None) -> tuple[str, ...]:
    """Return what may be written for a zone, the best first."""
    name = clean(name or "")
    if not name:
        return (f"zone {id_}", id_)
    whole = name if id_ in name.split() else f"{id_} {name}"
    texts = [whole] if text_width(whole, 1.0) <= _LONGEST_NAME_EM else []
    words = whole.split()
    for count in range(len(words) - 1, 1, -1):
        cut = " ".join(words[:count]).rstrip(",;:")
        if text_width(cut, 1.0) <= _LONGEST_NAME_EM:
            texts.append(f"{cut}…")
            break
    return (*texts, f"zone {id_}", id_)

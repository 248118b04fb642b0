"""Where water stays, as plain text for a terminal."""

from collections.abc import Iterable, Sequence

from maintenance.engine.network.drain_site import DrainedSite
from maintenance.engine.network.drainage import MAIN, LinkWater
from maintenance.engine.network.zone_parts import zone_of_links
from maintenance.engine.site import Head
from maintenance.engine.units import UnitSystem, display

STATES = {
    "trapped": "full",
    "partly": "part full",
    "air_locked": "may not drain",
    "drained": "should not hold water",
}
Parts = dict[str, list[LinkWater]]
MOST_DRAINS = 8
MOST_IDS = 12


def drain_text(drained: DrainedSite, system: UnitSystem = "us") -> str:
    """Write the answer first, then where the water is, what would help, the doubts."""
    parts = _by_zone(drained)
    blocks = [
        _heading(drained, system),
        _zones(drained, parts, system),
        _pipes(drained, parts, system),
        _devices(drained),
        _next_drains(drained, system),
        _listed("Look at", (_warning(w.text, w.about) for w in drained.warnings)),
        _method(drained),
    ]
    return "\n\n".join(block for block in blocks if block)


def _heading(drained: DrainedSite, system: UnitSystem) -> str:
    changes = ""
    if drained.opens:
        changes += f"; open besides: {', '.join(drained.opens)}"
    if drained.shuts:
        changes += f"; shut besides: {', '.join(drained.shuts)}"
    title = f"Where water stays: {drained.site_name}, parts in winter position{changes}"
    text = f"{title}\n\n{_answer(drained, system)}"
    if drained.drainage.opened:
        names = ", ".join(drained.drainage.opened)
        text += f"\n\nAutomatic drains that should open by themselves: {names}."
    return text


def _answer(drained: DrainedSite, system: UnitSystem) -> str:
    drainage = drained.drainage
    wet = _length(drainage.wet_length_m, system)
    if drainage.wet_length_m == 0.0:
        text = "No pipe should hold water, but for a film and what joints keep."
    elif drainage.trapped_m3 is None:
        text = f"Water stays in {wet} of pipe; how much is unknown."
    else:
        volume = drained.figures["trapped_m3"].text(system)
        more = any(each.wet_volume_m3 is None for each in drainage.links)
        text = f"{'More than' if more else 'About'} {volume} stay in {wet} of pipe."
    if drainage.air_locked_length_m > 0.0:
        locked = _length(drainage.air_locked_length_m, system)
        tops = [lock.highest for lock in drained.air_locks]
        text += (
            f" {locked} of pipe may not drain, since no air gets in: open something at "
            f"{_ids(tops)}."
        )
    return text


def _zones(drained: DrainedSite, parts: Parts, system: UnitSystem) -> str:
    lines = [("Where", "Water stays", "in pipe", "May not drain")]
    for zone, links in parts.items():
        volume = drained.drainage.trapped_by_zone[zone]
        wet = sum(each.wet_length_m for each in links)
        locked = sum(each.air_locked_length_m for each in links)
        if wet or locked:
            lines.append(
                (
                    _zone_name(zone),
                    _volume(volume, system),
                    _length(wet, system),
                    _length(locked, system),
                )
            )
    return f"By zone\n{_table(lines)}" if lines[1:] else ""


def _pipes(drained: DrainedSite, parts: Parts, system: UnitSystem) -> str:
    lines = [("Pipe", "Where", "State", "Length", "Wet", "Water", "May not drain")]
    for zone, links in parts.items():
        for each in links:
            bore = drained.graph.bores.get(each.link)
            if bore is None or each.state == "drained":
                continue
            lines.append(
                (
                    each.link,
                    _zone_name(zone),
                    STATES[each.state],
                    _length(bore.length_m, system),
                    _length(each.wet_length_m, system),
                    _volume(each.wet_volume_m3, system),
                    _length(each.air_locked_length_m, system),
                )
            )
    return f"Pipe by pipe\n{_table(lines)}" if lines[1:] else ""


def _devices(drained: DrainedSite) -> str:
    devices = [e for e in drained.drainage.links if e.link not in drained.graph.bores]
    full = [each.link for each in devices if each.state == "trapped"]
    one_side = [each.link for each in devices if each.state == "partly"]
    lines = []
    if full:
        lines.append(f"water on both sides: {', '.join(full)}")
    if one_side:
        lines.append(f"water on one side: {', '.join(one_side)}")
    return _listed("Valves and devices", lines)


def _next_drains(drained: DrainedSite, system: UnitSystem) -> str:
    lines = []
    for each in drained.next_drains[:MOST_DRAINS]:
        amount = (
            f"unknown volume, {_length(each.empties_length_m, system)} of pipe"
            if each.empties_m3 is None
            else display(each.empties_m3, "volume", system, "down")
        )
        lines.append(f"{each.at} ({_kind(drained, each.at)}): {amount}")
    left = len(drained.next_drains) - MOST_DRAINS
    if left > 0:
        lines.append(f"and {left} more that would let out less")
    return _listed("An open drain here would let out most, each alone", lines)


def _kind(drained: DrainedSite, point_id: str) -> str:
    point = drained.graph.points[point_id]
    if isinstance(point, Head) and point.check_valve is not None:
        return "head with a check"
    return point.kind.replace("_", " ")


def _by_zone(drained: DrainedSite) -> Parts:
    """Part the links by zone, the main first."""
    zones = zone_of_links(drained.graph)
    known = drained.drainage.trapped_by_zone
    found: Parts = {MAIN: [], **{zone: [] for zone in known}}
    for each in drained.drainage.links:
        found[zones.get(each.link, MAIN)].append(each)
    return found


def _zone_name(zone: str) -> str:
    return "Main" if zone == MAIN else f"Zone {zone}"


def _length(value_m: float, system: UnitSystem) -> str:
    return display(value_m, "length", system, "up") if value_m else "-"


def _volume(value_m3: float | None, system: UnitSystem) -> str:
    return "-" if value_m3 == 0.0 else display(value_m3, "volume", system, "up")


def _ids(ids: Sequence[str]) -> str:
    return ", ".join(ids[:MOST_IDS]) + (" and others" if ids[MOST_IDS:] else "")


def _warning(text: str, about: Sequence[str]) -> str:
    return f"{text} ({_ids(about)})" if about else text


def _listed(title: str, texts: Iterable[str]) -> str:
    lines = [f"  - {text}" for text in texts]
    return f"{title}\n" + "\n".join(lines) if lines else ""


def _table(lines: Sequence[tuple[str, ...]]) -> str:
    """Lay out columns: what has numbers in it stands to the right."""
    columns = list(zip(*lines, strict=True))
    widths = [max(map(len, column)) for column in columns]
    right = [column[0] not in ("Pipe", "Where", "State") for column in columns]
    rows = []
    for line in lines:
        cells = (
            text.rjust(width) if to_right else text.ljust(width)
            for text, width, to_right in zip(line, widths, right, strict=True)
        )
        rows.append(("  " + "  ".join(cells)).rstrip())
    return "\n".join(rows)


def _method(drained: DrainedSite) -> str:
    figure = drained.figures["trapped_m3"]
    return _listed(
        "How it was worked out",
        (
            figure.method,
            f"Source: {'; '.join(figure.sources)}.",
            f"Assumed: {'; '.join(figure.assumptions)}.",
        ),
    )

"""Where water is left in words: states, depths, the answer, what to do by zone."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from maintenance.engine.network.drainage import MAIN
from maintenance.engine.network.next_drains import NextDrain
from maintenance.engine.network.zone_parts import zone_of_links
from maintenance.engine.procedure.water_left import LinkLeft, WaterLeft
from maintenance.engine.procedure.water_places import WaterPlace
from maintenance.engine.site import Head
from maintenance.engine.units import UnitSystem, display

STATES: Final = {
    "trapped": "full of water",
    "partly": "water in part",
    "air_locked": "may not drain",
    "blown": "blown out",
    "drained": "drained",
}
STANDS: Final = ("trapped", "partly")
ESTIMATE: Final = (
    "An estimate, from the heights and sizes on record. What is not marked should not "
    "hold water, but for a film; a sag, a joint or a leaking valve may."
)
_FIT: Final = {
    "quick_coupler": "put the key into coupler {}",
    "blowout_port": "leave the plug out of port {} until nothing runs",
    "drain": "open drain {}",
    "test_cock": "open test cock {}",
    "open_end": "open end {}",
    "end": "open the end {}",
    "hydrant": "open hydrant {}",
}
_NOTHING: Final = "nothing"
_OTHERWISE: Final = "fit a drain at {}"


@dataclass(frozen=True, slots=True)
class ZoneWater:
    """One line by zone: what stays in it, and what to do; numbers without their unit.

    ``asks`` where something is to be done; ``short_of_air`` where it was blown and
    water stands in it still.
    """

    key: str
    name: str
    state: str
    word: str
    water: str
    wet: str
    may_not_drain: str
    do: str
    asks: bool
    short_of_air: bool


def lies_words(link: LinkLeft, frost_depth_m: float | None) -> str:
    """Say where a link lies, as far as frost cares."""
    if link.placement in ("above_ground", "indoors"):
        return link.placement.replace("_", " ")
    if link.below_frost_depth is None:
        return "" if frost_depth_m is None else "depth not known"
    return "below frost depth" if link.below_frost_depth else "in frost depth"


def place_words(left: WaterLeft, place: WaterPlace, system: UnitSystem) -> str:
    """Write the litres of a pool, and where it lies where that matters."""
    links = [each for each in left.links if each.link in place.links]
    if place.volume_m3 is None:
        wet = display(
            sum(each.wet_length_m for each in links), "length", system, "up", digits=0
        )
        text = f"unknown, {wet} wet"
    else:
        text = display(place.volume_m3, "volume", system, "up")
    if place.kept:
        return f"{text} kept"
    for placement in ("above_ground", "indoors"):
        there = [each.placement == placement for each in links]
        if any(there):
            part = "" if all(there) else "part "
            return f"{text}, {part}{placement.replace('_', ' ')}"
    if all(each.below_frost_depth for each in links):
        return f"{text}, below frost"
    return text


def standing_places(left: WaterLeft) -> list[WaterPlace]:
    """Return the pools that stand in a pipe; a film and low layers are left out."""
    stands = {each.link for each in left.links if each.state in STANDS}
    return [place for place in left.places if not stands.isdisjoint(place.links)]


def answer_words(left: WaterLeft, system: UnitSystem) -> str:
    """Say in a few sentences how much stays and where the most of it is."""
    unkept = [place for place in standing_places(left) if not place.kept]
    wet_m = sum(each.wet_length_m for each in left.links)
    if wet_m == 0.0:
        return "No pipe should hold water, but for a film and what joints keep."
    if left.trapped_m3 is None:
        wet = display(wet_m, "length", system, "up", digits=0)
        text = f"Water stays in {wet} of pipe; how much is not known."
    else:
        more = any(each.wet_volume_m3 is None for each in left.links)
        amount = display(left.trapped_m3, "volume", system, "up", digits=0)
        text = f"{'More than' if more else 'About'} {amount} of water should stay."
    if left.kept_m3:
        kept = display(left.kept_m3, "volume", system, "up", digits=0)
        text += f" Of that {kept} is kept on purpose, for a source or another use."
    if left.below_frost_m3:
        deep = display(left.below_frost_m3, "volume", system, "down", digits=0)
        text += f" About {deep} lies below the frost depth given."
    if unkept:
        named = [_at(left, place, system) for place in unkept[:3]]
        rest = len(unkept) - 3
        also = f", and {rest} more places" if rest > 1 else ""
        also = ", and one more place" if rest == 1 else also
        text += f" Most: {'; '.join(named)}{also}."
    else:
        text += " No place keeps more than a film or a low layer."
    return text


def _at(left: WaterLeft, place: WaterPlace, system: UnitSystem) -> str:
    amount, comma, lies = place_words(left, place, system).partition(",")
    return f"{amount} at {place.at}{comma}{lies}"


def zone_waters(left: WaterLeft, system: UnitSystem) -> tuple[ZoneWater, ...]:
    """Return a line for the main and for each zone, in the order of the site."""
    links: dict[str, list[LinkLeft]] = {zone: [] for zone in left.trapped_by_zone}
    for each in left.links:
        links[each.zone].append(each)
    drains = _drains_by_zone(left)
    names = {zone.id: zone.name or "" for zone in left.graph.site.zones}
    lines = []
    for zone in (MAIN, *(key for key in links if key != MAIN)):
        pipes = [each for each in links[zone] if each.link in left.graph.bores]
        if not pipes:
            continue
        state = _worst(pipes)
        do = _what_to_do(left, zone, pipes, drains.get(zone, []), system)
        locked_m = sum(each.air_locked_length_m for each in pipes)
        lines.append(
            ZoneWater(
                key=zone,
                name="Main" if zone == MAIN else f"{zone} {names[zone]}".strip(),
                state=state,
                word=STATES[state],
                water=_number(left.trapped_by_zone[zone], "volume", system),
                wet=_number(sum(e.wet_length_m for e in pipes), "length", system),
                may_not_drain=_number(locked_m, "length", system),
                do=do,
                asks=not do.startswith(_NOTHING),
                short_of_air=any(
                    each.state in STANDS and each.told_by == "sheet" for each in pipes
                ),
            )
        )
    return tuple(lines)


def _number(value: float | None, dimension: str, system: UnitSystem) -> str:
    return display(value, dimension, system, "up").split(" ", maxsplit=1)[0]


def _worst(pipes: Iterable[LinkLeft]) -> str:
    """Return the state that asks for something first."""
    states = {each.state for each in pipes}
    if "trapped" in states:
        # A zone is full only where all of it is.
        return "trapped" if states == {"trapped"} else "partly"
    return next(s for s in ("partly", "air_locked", "blown", "drained") if s in states)


def _drains_by_zone(left: WaterLeft) -> dict[str, list[NextDrain]]:
    zones = zone_of_links(left.graph)
    found: dict[str, list[NextDrain]] = {}
    for each in left.next_drains:
        links = left.graph.joined[each.at]
        # A valve at the point belongs to its zone, the point itself to its pipes.
        pipes = [link for link in links if link in left.graph.bores]
        zone = next((zones[link] for link in pipes or links if link in zones), MAIN)
        found.setdefault(zone, []).append(each)
    return found


def _what_to_do(
    left: WaterLeft,
    zone: str,
    pipes: list[LinkLeft],
    drains: list[NextDrain],
    system: UnitSystem,
) -> str:
    stands = [each for each in pipes if each.state in STANDS]
    texts = []
    if stands and drains:
        best = drains[:2] if zone == MAIN else drains[:1]
        texts += [_drain_words(left, each, system) for each in best]
    locked = {each.link for each in pipes if each.air_locked_length_m}
    tops = [k.highest for k in left.air_locks if not locked.isdisjoint(k.links)]
    if tops:
        texts.append(f"let air in at {', '.join(tops[:3])}")
    kept = {link for place in left.places if place.kept for link in place.links}
    if not texts and {each.link for each in stands} <= kept:
        film = any(each.wet_length_m for each in pipes if each.link not in kept)
        return f"{_NOTHING} more: a film or low layer" if film else _NOTHING
    if not texts:
        return "blow it out"
    text = "; ".join(texts)
    unblown = stands and all(each.told_by == "levels" for each in stands)
    return f"{text}; or blow it out" if unblown and zone != MAIN else text


def _drain_words(left: WaterLeft, drain: NextDrain, system: UnitSystem) -> str:
    point = left.graph.points[drain.at]
    fit = _OTHERWISE if isinstance(point, Head) else _FIT.get(point.kind, _OTHERWISE)
    if drain.empties_m3 is None:
        wet = display(drain.empties_length_m, "length", system, "down", digits=0)
        return f"{fit.format(drain.at)}: empties {wet} of pipe"
    amount = display(drain.empties_m3, "volume", system, "down")
    return f"{fit.format(drain.at)}: lets out about {amount}"

"""How much water a filling takes, how fast it may run, how long it lasts."""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx

from maintenance.engine.network.graph import as_networkx
from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.sections import Standing
from maintenance.engine.procedure.startup.air_outlets import AirOutlet
from maintenance.engine.procedure.startup.choices import StartupChoices
from maintenance.engine.procedure.startup.fill_ways import FillWay
from maintenance.engine.site import Pump, Supply
from maintenance.engine.startup.fill import fill_time, flow_at_velocity


@dataclass(frozen=True, slots=True)
class Amounts:
    """The figures of one filling; None where the site does not record enough.

    ``flow_m3_per_s`` is the most that may run, ``limit`` says in words what sets it,
    ``speed`` where it is ``velocity_m_per_s`` in ``narrowest``, the pipe on the way with
    the smallest bore. ``unknown`` holds the
    pipes whose bore nobody recorded, ``assumed`` those taken at the largest bore of
    their class. ``pump`` is one that wants more than the pipes should get; with
    ``in_spells`` more than they stand at all, so that it must be stopped and started.
    """

    pipes: tuple[str, ...]
    way: tuple[str, ...]
    volume_m3: float | None
    flow_m3_per_s: float | None
    limit: str
    narrowest: str | None
    velocity_m_per_s: float | None
    time_s: float | None
    unknown: tuple[str, ...]
    assumed: tuple[str, ...]
    pump: str
    in_spells: bool


def fill_amounts(
    piping: Piping,
    way: FillWay,
    filling: Standing,
    cells: frozenset[int],
    outlets: tuple[AirOutlet, ...],
    choices: StartupChoices,
) -> Amounts:
    """Work a filling out.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    way : FillWay
        Where the water gets in. [-]
    filling : Standing
        How the site stands meanwhile. [-]
    cells : frozenset of int
        What fills; taken as empty, so that volume and time are upper bounds. [-]
    outlets : tuple of AirOutlet
        Where the air leaves. [-]
    choices : StartupChoices
        Speeds. [m/s]

    Returns
    -------
    Amounts
        Figures in SI. [SI]

    Notes
    -----
    The most that may run is the least of: the chosen speed in the narrowest pipe on
    the way to an outlet, what the source yields, and what the pump gives. The time is
    the whole volume over that flow, so for one bore the length over the speed.
    """
    graph = piping.graph
    pipes = tuple(_pipes_in(piping, cells))
    unknown = tuple(p for p in pipes if graph.bores[p].inside_diameter_m is None)
    volumes = [v for p in pipes if (v := graph.bores[p].volume_m3) is not None]
    volume = math.fsum(volumes) if pipes and not unknown else None
    found = tuple(_pipes_on_way(piping, way, filling, outlets, frozenset(pipes)))
    on_way = tuple(dict.fromkeys(found)) or pipes
    rate = _rate(piping, way, on_way, choices)
    flow = rate.flow_m3_per_s
    time = None
    if volume is not None and flow is not None:
        time = float(fill_time(volume, flow))
    return Amounts(
        pipes,
        on_way,
        volume,
        flow,
        rate.limit,
        rate.narrowest,
        rate.velocity_m_per_s,
        time,
        unknown,
        tuple(p for p in pipes if graph.bores[p].assumed and p not in unknown),
        rate.pump,
        rate.in_spells,
    )


@dataclass(frozen=True, slots=True)
class _Rate:
    flow_m3_per_s: float | None
    limit: str
    narrowest: str | None
    velocity_m_per_s: float | None
    pump: str
    in_spells: bool


def _pipes_in(piping: Piping, cells: Iterable[int]) -> Iterator[str]:
    inside = frozenset(cells)
    for key in piping.graph.bores:
        if piping.cell_of[piping.graph.links[key].from_] in inside:
            yield key


def _pipes_on_way(
    piping: Piping,
    way: FillWay,
    filling: Standing,
    outlets: tuple[AirOutlet, ...],
    filled: frozenset[str],
) -> Iterator[str]:
    """Yield the pipes that fill on the shortest way to each outlet."""
    shut = {
        gate.link
        for gate, passing in zip(piping.gates, filling.passing, strict=True)
        if not passing
    }
    network = as_networkx(piping.graph, without=shut)
    for outlet in outlets:
        try:
            line = nx.shortest_path(network, way.source, outlet.point, weight="length")
        except nx.NetworkXNoPath:
            continue
        for one, other in pairwise(line):
            edges = network[one][other]
            key = min(edges, key=lambda each: edges[each]["length"])
            if key in filled:
                yield key
        yield from _behind(piping, outlet, filled)


def _behind(piping: Piping, outlet: AirOutlet, filled: frozenset[str]) -> Iterator[str]:
    """Yield the first pipes of a zone that serves as outlet: they carry all of it."""
    if outlet.kind != "zone_valve":
        return
    start = piping.graph.links[outlet.element].to
    yield from (key for key in piping.graph.joined[start] if key in filled)


def _rate(
    piping: Piping, way: FillWay, pipes: tuple[str, ...], choices: StartupChoices
) -> _Rate:
    bores = {
        p: bore
        for p in pipes
        if (bore := piping.graph.bores[p].inside_diameter_m) is not None
    }
    if not bores or len(bores) < len(pipes):
        # A yield alone is no limit: the pipe of unknown bore may want less.
        return _Rate(None, "", None, None, "", False)
    narrowest = min(bores, key=lambda p: bores[p])
    speed, pump, in_spells = _speed(piping, way, bores[narrowest], choices)
    limits = [(float(flow_at_velocity(speed, bores[narrowest])), "speed")]
    limits += _yields(piping, way)
    least, limit = min(limits)
    return _Rate(least, limit, narrowest, speed, pump, in_spells)


def _speed(
    piping: Piping, way: FillWay, bore_m: float, choices: StartupChoices
) -> tuple[float, str, bool]:
    """Return the speed in the narrowest pipe; a pump's least flow may raise it."""
    usual, most = choices.fill_velocity_m_per_s, choices.most_fill_velocity_m_per_s
    per_speed = float(flow_at_velocity(1.0, bore_m))
    for key in way.pumps:
        pump = piping.graph.links[key]
        if not isinstance(pump, Pump) or pump.least_flow is None:
            continue
        needed = pump.least_flow.value / per_speed
        if needed > most:
            return usual, key, True
        if needed > usual:
            return needed, key, False
    return usual, "", False


def _yields(piping: Piping, way: FillWay) -> list[tuple[float, str]]:
    supply = piping.graph.points[way.source]
    found = []
    if isinstance(supply, Supply) and supply.flow is not None:
        found.append((supply.flow.value, f"what {supply.id} yields"))
    for key in way.pumps:
        pump = piping.graph.links[key]
        if isinstance(pump, Pump) and pump.flow is not None:
            found.append((pump.flow.value, f"what pump {key} gives"))
    return found

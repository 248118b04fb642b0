"""The leak test: by meter, by gauge or by the starts of the pump."""

from typing import Final

from maintenance.engine.network.graph import Graph
from maintenance.engine.procedure.shutdown.names import listed
from maintenance.engine.procedure.startup import minutes
from maintenance.engine.procedure.startup.air_steps import feeds_nothing_else, stopper
from maintenance.engine.procedure.startup.choices import LeakTest, StartupChoices
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.procedure.startup.fill_plan import Fill
from maintenance.engine.procedure.startup.fill_ways import wastes_half_open
from maintenance.engine.procedure.startup.leak_amounts import LeakAmounts, leak_amounts
from maintenance.engine.procedure.startup.wording import both
from maintenance.engine.site import Pump
from maintenance.engine.units import display

_C605: Final = (
    "AWWA C605-05 as copied at dnrweblink.state.co.us, document 914792, p. 52"
)
_STAND: Final = (
    "PE pipe stretches for hours without any leak: let it stand two to three hours "
    "under pressure first (Indian River County (FL), PE main specification)."
)
_WATER_ONLY = "Test with water, never with air."
_MOST_SECONDS: Final = 3600.0


def look_for_leaks(
    draft: Draft, fills: tuple[Fill, ...], choices: StartupChoices
) -> None:
    """Write one leak test for each source.

    Parameters
    ----------
    draft : Draft
        The list, filled by now. [-]
    fills : tuple of Fill
        What was filled, and from where. [-]
    choices : StartupChoices
        Which test; default the first that the site has the means for. [-]
    """
    draft.block = "Leak test"
    by_source: dict[str, list[Fill]] = {}
    for fill in fills:
        by_source.setdefault(fill.way.source, []).append(fill)
    for source, own in by_source.items():
        cells = frozenset[int]().union(*(fill.main for fill in own))
        graph, piping = draft.piping.graph, draft.piping
        pipes = [
            key
            for key in graph.bores
            if piping.cell_of[graph.links[key].from_] in cells
        ]
        amounts = leak_amounts(graph, pipes, source, own[0].way.pumps)
        _read_pressure(draft, source, amounts)
        _write(draft, own[0], amounts, choices)


def _read_pressure(draft: Draft, source: str, amounts: LeakAmounts) -> None:
    pressure = amounts.pressure_pa
    known = "none is on record yet"
    if pressure is not None:
        known = f"{both(pressure, 'pressure')} is on record"
    draft.add(
        "record",
        source,
        f"Read the pressure of {source} with every zone shut, and write it down: {known}.",
        why="A pressure that differs says that something is shut, set or leaking.",
        minutes=minutes.TURN,
    )


def _possible(draft: Draft, source: str, pumps: tuple[str, ...]) -> LeakTest:
    graph = draft.piping.graph
    if _meter_of(graph, source):
        return "meter"
    for key in pumps:
        pump = graph.links[key]
        if isinstance(pump, Pump) and pump.pressure_tank is not None:
            return "pump_starts"
    return "gauge"


def _meter_of(graph: Graph, source: str) -> str | None:
    """Return the meter that all water of a source goes through before it branches."""
    at, seen = source, {source}
    while True:
        onward = [
            key
            for key in graph.joined[at]
            if graph.other_end(graph.links[key], at) not in seen
        ]
        if len(onward) != 1:
            return None
        link = graph.links[onward[0]]
        if link.kind == "meter":
            return link.id
        at = graph.other_end(link, at)
        seen.add(at)


def _write(
    draft: Draft, fill: Fill, amounts: LeakAmounts, choices: StartupChoices
) -> None:
    source, pumps = fill.way.source, fill.way.pumps
    test = choices.leak_test or _possible(draft, source, pumps)
    nobody = _nobody_draws(draft, source)
    during: list[tuple[str, str]] = []
    if test == "meter":
        meter = _meter_of(draft.piping.graph, source)
        on = meter or source
        text = _by_meter(
            nobody, f"meter {meter}" if meter else f"the meter of {source}"
        )
        wait = minutes.METER_WAIT
        why = "What the meter counts now is lost, or drawn by somebody else."
    elif test == "pump_starts":
        on = pumps[0] if pumps else source
        text = nobody + _by_starts(on, choices.pump_start_volume_m3, amounts)
        wait = minutes.PUMP_WAIT
        why = "A pump that starts while nobody draws makes up for a leak."
    else:
        on = source
        text, during = _by_gauge(draft, fill)
        wait = minutes.GAUGE_WAIT
        why = "A gauge that falls shows a leak, a draw, or air that is still there."
    draft.add(
        "check",
        on,
        text,
        to=test.replace("_", " "),
        why=why,
        cautions=_cautions(amounts, test),
        source=f"{_C605} (allowance); waiting times: common practice, no source",
        during=during,
        minutes=wait,
    )


def _nobody_draws(draft: Draft, source: str) -> str:
    piping, standing = draft.piping, draft.standing
    users = [
        f"{getattr(piping.graph.points[key], 'what', 'other use')} ({key})"
        for key, cell in piping.users.items()
        if source in standing.sources_at(cell)
    ]
    also = f", in the {listed(users)} either" if users else ""
    return f"With every zone shut and nobody drawing water{also}, "


def _by_meter(nobody: str, name: str) -> str:
    return (
        f"{nobody}read {name}, wait {minutes.METER_WAIT:.0f} minutes, and read it "
        "again: the dial should not move."
    )


def _by_gauge(draft: Draft, fill: Fill) -> tuple[str, list[tuple[str, str]]]:
    """Return the text, and what is shut meanwhile."""
    valve, piping = stopper(draft, fill), draft.piping
    begin = (
        f"Put a gauge on the pipes of {fill.way.source}, at a hose bib or test cock. "
        "With every zone shut, "
    )
    end = ", wait an hour, and see how far the gauge falls."
    pumps = [
        pump
        for pump in fill.way.pumps
        if draft.positions[pump] == "on" and feeds_nothing_else(draft, pump)
    ]
    if pumps:
        names = listed([draft.name(pump) for pump in pumps])
        text = f"{begin}switch {names} off{end} Switch it on again."
        return text, [(pump, "off") for pump in pumps]
    if valve == fill.way.source or wastes_half_open(piping, valve):
        how = "not with a stop-and-waste valve, which would empty the line"
        return f"{begin}shut the water off, but {how}{end}", []
    return f"{begin}shut {draft.name(valve)}{end} Open it again.", [(valve, "closed")]


def _by_starts(pump: str, drawn_m3: float | None, amounts: LeakAmounts) -> str:
    text = (
        f"count how often pump {pump} starts in one hour: it should not start at all."
    )
    if drawn_m3 is None:
        return (
            f"{text} If it does, draw water into a bucket from one start to the next: "
            "so much is lost at each start."
        )
    text += f" Each start is a loss of {both(drawn_m3, 'volume', 'up')}."
    if amounts.allowance_m3_per_s:
        hours = drawn_m3 / amounts.allowance_m3_per_s / _MOST_SECONDS
        if hours >= 1.0:
            text += f" At the upper bound it would start once in {hours:.0f} hours."
    return text


def _cautions(amounts: LeakAmounts, test: LeakTest) -> tuple[str, ...]:
    said = [_bound(amounts, test)]
    if test == "gauge" and amounts.allowance_m3_per_s is not None:
        said.append(_drop(amounts))
    elif test == "gauge":
        said.append("A small fall shows little: trapped air hides a leak.")
    if amounts.has_pe:
        said.append(_STAND)
    return (*said, _WATER_ONLY)


def _bound(amounts: LeakAmounts, test: LeakTest) -> str:
    if amounts.allowance_m3_per_s is None:
        missing = ", ".join(amounts.unknown)
        lack = f"the size of {missing}" if missing else "the pressure of the source"
        return (
            f"No upper bound can be given: enter {lack}. A glued main should lose "
            "nothing."
        )
    most = both(amounts.allowance_m3_per_s, "leak_flow", "down")
    feet, metres = (
        display(amounts.length_m, "length", system, digits=0) for system in ("us", "si")
    )
    so_much = ""
    if test == "meter":
        lost = amounts.allowance_m3_per_s * minutes.METER_WAIT * 60.0
        so_much = (
            f", {display(lost * 1000.0, 'volume', 'si', 'down', digits=0)[:-2]} mL"
        )
        so_much = f"{so_much} in {minutes.METER_WAIT:.0f} minutes"
    return (
        f"Upper bound, not an aim: {most}{so_much} for these {feet} ({metres}), by a "
        "standard for gasketed mains of 4 in and wider. A glued main should lose nothing."
    )


def _drop(amounts: LeakAmounts) -> str:
    if amounts.drop_pa_per_s is None:
        return (
            "How far the gauge falls at that leak cannot be worked out, since a pipe is "
            "unknown. A small fall shows little: trapped air hides a leak."
        )
    hour = amounts.drop_pa_per_s * _MOST_SECONDS
    return (
        f"At that leak a line without any air would fall {both(hour, 'pressure')} in an "
        "hour. Trapped air makes the fall much smaller: a small fall shows little."
    )

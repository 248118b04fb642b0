"""What is measured: the whole sheet, all first fronts, and both for twice the zones."""

from dataclasses import dataclass

import numpy as np

from maintenance.engine.blowout.displacement import Displacement, displace
from maintenance.engine.blowout.lanes import pack
from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.blowout.prepare import Prepared, prepare
from maintenance.engine.blowout.remedies import help_for_zone
from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.blowout.supply import supply_of
from maintenance.engine.freezing.outlook import freeze_outlook
from maintenance.engine.network.drain_states import drain_states
from maintenance.engine.network.drainage import Drainage, find_drainage
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.next_drains import NextDrain, rank_next_drains
from maintenance.engine.network.positions import winter_positions
from maintenance.engine.procedure.report import ReportedList, report_list
from maintenance.engine.procedure.shutdown.compile import compile_shutdown
from maintenance.engine.site import Site
from maintenance.exchange.calendar_feed import write_calendar
from tests.benchmarks.climate import YEARS, hundred_years, summarise
from tests.benchmarks.clock import in_loops
from tests.benchmarks.freeze_sites import freeze_sites
from tests.benchmarks.large_network import large_network
from tests.benchmarks.sites import larkmoor, twice_larkmoor, yard_compressor
from tests.exchange.calendar_entries import NOW, ten_thousand


@dataclass(frozen=True, slots=True)
class Measured:
    """One line of the table; ``goal`` is what the project asks for at most."""

    name: str
    ratio: float
    goal: float
    unit: str = "loops"


def all_fronts(prepared: Prepared) -> Displacement:
    """Drive the first front of every row that gets a setting, side by side."""
    keys = [key for key in prepared.order if key in prepared.settings]
    lanes = pack([prepared.rows[k] for k in keys], prepared.emptied_before())
    setting = np.array([prepared.settings[k] for k in keys])
    supply = supply_of([prepared.machine])
    return displace(lanes, supply, setting + supply.atmosphere_pa)


def levels_left(graph: Graph) -> tuple[Drainage, tuple[NextDrain, ...]]:
    """Drain a network: states, levels, water and air in each link, next drains."""
    states = drain_states(graph, winter_positions(graph))
    drainage = find_drainage(graph, states)
    return drainage, rank_next_drains(graph, drainage)


def shutdown_with_map(site: Site, sheet: Sheet) -> ReportedList:
    """Compile the shutdown, check every step of it, and draw up where water is left."""
    return report_list(site, compile_shutdown(site, sheet=sheet), sheet=sheet)


def zone_count(site: Site) -> int:
    return len(site.zones)


def measure_all(*, rounds: int = 5) -> tuple[Measured, ...]:
    """Measure everything; half a minute."""
    machine = yard_compressor()
    once, twice = larkmoor(), twice_larkmoor()
    sheet = in_loops(lambda: make_sheet(once, machine), rounds=rounds)
    sheet_twice = in_loops(lambda: make_sheet(twice, machine), rounds=rounds)
    ready, ready_twice = prepare(once, machine), prepare(twice, machine)
    fronts = in_loops(lambda: all_fronts(ready), rounds=rounds)
    fronts_twice = in_loops(lambda: all_fronts(ready_twice), rounds=rounds)
    remedies = in_loops(lambda: help_for_zone(once, machine, zone="7"), rounds=rounds)
    network = large_network()
    levels = in_loops(lambda: levels_left(network), rounds=rounds)
    blown = make_sheet(once, machine)
    listed = in_loops(lambda: shutdown_with_map(once, blown), rounds=rounds)
    weather = hundred_years("summaries")
    century = in_loops(lambda: summarise(weather), rounds=rounds)
    cold = freeze_sites()
    freeze = in_loops(lambda: freeze_outlook(*cold), rounds=min(rounds, 3))
    entries = ten_thousand()
    feed = in_loops(
        lambda: write_calendar("Due", entries, now=NOW), rounds=min(rounds, 3)
    )
    count = f"{zone_count(once)} zones"
    return (
        Measured(f"Whole sheet without remedies, {count}", sheet, 15.0),
        Measured(f"Displacement of all rows, {count}", fronts, 2.0),
        Measured("Remedies for one zone and its frontier", remedies, 15.0),
        Measured(
            "Whole sheet, zones doubled, against once",
            sheet_twice / sheet,
            2.0,
            "times",
        ),
        Measured(
            "Displacement, zones doubled, against once",
            fronts_twice / fronts,
            2.0,
            "times",
        ),
        Measured(
            "Freeze outlook of 10,000 sites, 6 parts, three tracks",
            freeze,
            120.0,
        ),
        Measured(
            f"Levels left in a network of {len(network.links):,} links", levels, 1.0
        ),
        Measured("Shutdown list of Larkmoor, checked, with its map", listed, 5.0),
        Measured(f"{YEARS} years of daily data parsed and summarised", century, 6.0),
        # The library alone took 36 loops (1,262 ms where a loop takes 35).
        Measured("Calendar of 10,000 events", feed, 80.0),
    )


def as_table(results: tuple[Measured, ...]) -> str:
    """Return the results as a Markdown table."""
    lines = ["| What | Measured | Goal, at most |", "|---|---|---|"]
    lines += [
        f"| {one.name} | {one.ratio:.1f} {one.unit} | {one.goal:g} {one.unit} |"
        for one in results
    ]
    return "\n".join(lines)

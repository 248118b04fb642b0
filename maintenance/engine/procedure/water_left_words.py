"""Why water is left in a link, in one sentence, and what to know beside the map."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

from maintenance.engine.blowout.aftermath import LEAST_POOL_M3
from maintenance.engine.blowout.figures import NOT_VALIDATED
from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.figure import Figure, Warning, without_repeats
from maintenance.engine.network.drain_site import ASSUMPTIONS, METHOD, SOURCES
from maintenance.engine.network.drain_states import state_warnings
from maintenance.engine.network.drain_warnings import drain_warnings
from maintenance.engine.network.drainage import Drainage, LinkWater
from maintenance.engine.network.graph import Graph
from maintenance.engine.network.passages import SHUT
from maintenance.engine.network.pools import AirLock, kept_waters
from maintenance.engine.procedure.after_air import AfterAir, low_and_high
from maintenance.engine.procedure.blown_pipes import BlownParts
from maintenance.engine.procedure.levels import drainage_positions
from maintenance.engine.procedure.positions import Positions
from maintenance.engine.site import Backflow, IsolationValve
from maintenance.engine.units import UnitSystem, display

_BLOWN_METHOD: Final = (
    " In a pipe that was blown: the lesser of this and what the sheet leaves there."
)
_SAID_ELSEWHERE: Final = "missing_winter"


@dataclass(frozen=True)
class Reasons:
    """Finds the sentence for a link; sentences name heights and litres in ``units``."""

    graph: Graph
    after: AfterAir
    blown: BlownParts
    air_locks: tuple[AirLock, ...]
    units: UnitSystem

    def why(self, water: LinkWater) -> str:
        """Return the sentence.

        Parameters
        ----------
        water : LinkWater
            What stays in the link. [SI]

        Returns
        -------
        str
            One or two short sentences. [-]
        """
        link = self.graph.links[water.link]
        state = self.after.state[water.link]
        if state == "drained":
            return "Runs off by itself, and air can follow."
        if water.link not in self.graph.bores:
            return self._of_device(water.link, state)
        if self.after.told_by[water.link] == "sheet":
            return self._of_blown(water, state)
        if {link.from_, link.to} <= self._kept:
            return "Keeps its water for a source or another use."
        if state == "air_locked":
            top = self._locked_under.get(water.link)
            return (
                "May not drain: no air gets in"
                + (f". Open something at {top}." if top else ".")
                + self._not_blown(water.link)
            )
        return self._of_trapped(water) + self._not_blown(water.link)

    @cached_property
    def _kept(self) -> frozenset[str]:
        waters = kept_waters(self.graph, self.after.left)
        return frozenset(point for group in waters for point in group)

    @cached_property
    def _locked_under(self) -> Mapping[str, str]:
        return {link: lock.highest for lock in self.air_locks for link in lock.links}

    def _of_trapped(self, water: LinkWater) -> str:
        left = self.after.left
        low, _ = low_and_high(self.graph, left, water.link)
        deep_m = left.level_m[low] - left.channels.elevation_m[low]
        if math.isinf(deep_m):
            return "No opening lets its water out."
        deep = display(deep_m, "height", self.units, "up")
        return f"Its low end {low} lies {deep} below the lowest way out."

    def _of_blown(self, water: LinkWater, state: str) -> str:
        volume = water.wet_volume_m3 or 0.0
        row = self.blown.pipes[water.link].row
        amount = display(volume, "volume", self.units, "up")
        if state != "blown":
            return (
                f"Blown ({row}), but about {amount} stays and fills more than half "
                "the bore."
            )
        if volume < LEAST_POOL_M3:
            return f"Blown ({row})."
        return f"Blown ({row}): about {amount} stays, as a film and in a low layer."

    def _of_device(self, link: str, state: str) -> str:
        if state == "blown":
            row = self.blown.links.get(link)
            return f"Air went through ({row})." if row else "Air went past it."
        if state == "air_locked":
            return "May not drain: no air gets in."
        side = "on both sides" if state == "trapped" else "on one side"
        return f"Water stands {side} of it."

    def _not_blown(self, link: str) -> str:
        if not self.blown.rows_of:
            return ""
        rows = self.blown.rows_of.get(link, ())
        if not rows:
            return " No row of the sheet reaches it."
        if len(rows) == 1:
            return f" {rows[0]} was not blown."
        return " No row through it was blown."


def figure_of_trapped(trapped_m3: float | None, sheet: Sheet | None) -> Figure:
    """Return the figure of all water that is left.

    Parameters
    ----------
    trapped_m3 : float or None
        All water left. [m³]
    sheet : Sheet or None
        The sheet that was blown. [-]

    Returns
    -------
    Figure
        With its method, sources and assumptions. [m³]
    """
    blown = sheet is not None
    return Figure(
        trapped_m3,
        "volume",
        METHOD + (_BLOWN_METHOD if blown else ""),
        SOURCES,
        assumptions=(
            *ASSUMPTIONS,
            *(("blown pipes: good to a factor of two or three", NOT_VALIDATED) * blown),
        ),
        rounding="up",
        missing="unknown: enter the size of the pipes that hold water",
    )


def left_warnings(
    graph: Graph,
    left: Drainage,
    blown: BlownParts,
    air_locks: tuple[AirLock, ...],
    stands: Positions,
    units: UnitSystem,
) -> tuple[Warning, ...]:
    """Name what a person should know beside the map.

    Parameters
    ----------
    graph : Graph
        The site. [-]
    left : Drainage
        What stays in the links when all is done. [SI]
    blown : BlownParts
        Where air went. [m³]
    air_locks : tuple of AirLock
        What may not drain. [m]
    stands : mapping of str to str
        Position of every element, in the words of a list. [-]
    units : str
        Units in which the sentences are written. [-]

    Returns
    -------
    tuple of Warning
        What the sheet could not say first. [-]
    """
    # A film in a blown pipe is no water that needs a drain or a way out.
    without_film = replace(
        left,
        links=tuple(
            replace(water, wet_length_m=0.0, wet_volume_m3=0.0)
            if water.link in blown.pipes and not blown.pipes[water.link].stands
            else water
            for water in left.links
        ),
    )
    of_states = state_warnings(graph, drainage_positions(graph, stands), units=units)
    return without_repeats(
        (
            *blown.warnings,
            *_runs_back(graph, left, blown),
            *drain_warnings(graph, without_film, air_locks, units=units),
            *(each for each in of_states if each.code != _SAID_ELSEWHERE),
            *_left_as_listed(graph),
        )
    )


def _runs_back(graph: Graph, left: Drainage, blown: BlownParts) -> Iterator[Warning]:
    heights = left.channels.elevation_m
    ends = {
        end
        for link in blown.pipes
        for end in (graph.links[link].from_, graph.links[link].to)
    }
    for key, link in graph.links.items():
        passes = key not in graph.bores and left.states.passages[key] != SHUT
        if passes and not ends.isdisjoint((link.from_, link.to)):
            ends |= {link.from_, link.to}
    found = []
    for water in left.links:
        if water.link in blown.pipes or water.link not in graph.bores:
            continue
        if not (water.wet_length_m or water.air_locked_length_m):
            continue
        link = graph.links[water.link]
        for end, other in ((link.from_, link.to), (link.to, link.from_)):
            if end in ends and heights[other] > heights[end]:
                found.append(water.link)
    if found:
        text = (
            "No air went through these pipes, and their water may run back into blown "
            "ones that they join: drain them or blow them too."
        )
        yield Warning("may_run_back", text, tuple(found))


def _left_as_listed(graph: Graph) -> Iterator[Warning]:
    about = []
    for link in graph.links.values():
        if isinstance(link, IsolationValve) and link.winter is None:
            about.append(link.id)
        elif isinstance(link, Backflow) and link.device not in ("AVB", "AG"):
            parts = (link.shutoff_1, link.shutoff_2, link.test_cocks)
            if any(part is None or part.winter is None for part in parts):
                about.append(link.id)
    if about:
        text = (
            "How these are left for winter is not recorded: they count as the list "
            "leaves them. Enter it once you have chosen."
        )
        yield Warning("left_as_listed", text, tuple(about))

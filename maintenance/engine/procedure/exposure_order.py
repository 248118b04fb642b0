"""What of a site breaks first in frost and costs most, for a day that is too short."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from maintenance.engine.network.zone_parts import zone_of_links
from maintenance.engine.procedure.exposed import Exposed, find_exposed
from maintenance.engine.procedure.piping import Piping
from maintenance.engine.procedure.step import NO_SOURCE, Step


@dataclass(frozen=True, slots=True)
class ExposureClass:
    """One row of the order: what it is, why it stands there, and the source."""

    key: str
    what: str
    why: str
    source: str


BRASS, PUMPS, DRAINS, TOPS = "brass", "pumps", "drains", "tops"
LATERALS, MAINS = "laterals", "mains"
SERVICE, REST = "service", "rest"
ORDER: Final[tuple[ExposureClass, ...]] = (
    ExposureClass(
        BRASS,
        "brass and pipe in the open air: assemblies, anti-siphon valves, their drains",
        "Ice within hours, and the dearest part of most sites.",
        (
            "KUSA, advice to owners (most exposed, most expensive); own "
            "freezing model: bare 1 in copper at 28 degF and no wind begins to freeze "
            "within an hour and is half frozen in about eight"
        ),
    ),
    ExposureClass(
        PUMPS,
        "pumps and what stands at them",
        "A casing full of water cracks in one hard night, and a pump costs most to replace.",
        NO_SOURCE,
    ),
    ExposureClass(
        DRAINS,
        "drains of mains that carry couplers, hydrants or ports",
        "A few minutes each, and the risers of all of these empty.",
        NO_SOURCE,
    ),
    ExposureClass(
        TOPS,
        "couplers, hydrants, ports, filters: brass and plastic at the surface, in boxes",
        "Their tops follow the air; a closed box buys a night or two.",
        (
            "own freezing model: the air in a valve box follows the mean of the day, not "
            "the lowest of the night (rough)"
        ),
    ),
    ExposureClass(
        LATERALS,
        "buried laterals and their heads",
        "Eight to twelve inches of soil keep the frost out for weeks.",
        (
            "own soil model on Fort Collins 1970-98: 8 in froze in December in the median "
            "winter, in the last third of November at the earliest"
        ),
    ),
    ExposureClass(
        MAINS,
        "buried mains and their drains",
        "They lie deepest: 18 in froze in 11 of 29 winters.",
        "own soil model on Fort Collins 1970-98",
    ),
)
"""The order of exposure, first what freezes first. It follows the frost dates of parts
(assembly and risers, couplers and boxes, laterals, main); that pumps come second, and
quick drains before single couplers, is common practice, no source."""
_EMPTYING: Final = ("open", "set", "drain", "remove", "install", "run")
"""Acts that empty or cover a part; what only shuts, sets up or looks saves nothing."""
_OPENED: Final = (
    "open",
    "half_open",
    "open_but_first",
    "key_in",
    "taken_out",
    "removed",
)
_TOP_KINDS: Final = ("quick_coupler", "hydrant", "blowout_port")
_KINDS: Final = {
    "pump": PUMPS,
    "quick_coupler": TOPS,
    "hydrant": TOPS,
    "blowout_port": TOPS,
    "backflow": TOPS,
    "filter": TOPS,
    "meter": TOPS,
    "flow_sensor": TOPS,
    "injector": TOPS,
    "isolation_valve": SERVICE,
    "supply": SERVICE,
    "master_valve": SERVICE,
}
_PLACES: Final = {each.key: number for number, each in enumerate(ORDER)}
AFTER_ALL: Final = len(ORDER)


def class_of(key: str) -> ExposureClass | None:
    """Return a row of the order.

    Parameters
    ----------
    key : str
        Its key. [-]

    Returns
    -------
    ExposureClass or None
        None for what is not exposed itself. [-]
    """
    return ORDER[_PLACES[key]] if key in _PLACES else None


def place_of(key: str) -> int:
    """Return the place of a class in the order.

    Parameters
    ----------
    key : str
        Its key. [-]

    Returns
    -------
    int
        From 0; what is not exposed comes after all. [-]
    """
    return _PLACES.get(key, AFTER_ALL)


class Exposures:
    """What each step of a list keeps from freezing."""

    def __init__(self, piping: Piping) -> None:
        self.piping = piping
        self.exposed: Exposed = find_exposed(piping)
        self._near = self._riser_drains()
        tops = {o.cell for o in piping.openings if o.kind in _TOP_KINDS}
        self._tops_drains = frozenset(
            o.element for o in piping.openings if o.kind == "drain" and o.cell in tops
        )
        self._zones = zone_of_links(piping.graph)

    def class_of_step(self, step: Step) -> str:
        """Return the class of a step: the most exposed of what it is about.

        Parameters
        ----------
        step : Step
            The step. [-]

        Returns
        -------
        str
            ``service`` for valves, controllers and the compressor, which freeze
            nothing themselves; ``rest`` for looks and records. [-]
        """
        if step.row is not None:
            kind = step.row.partition(":")[0]
            return {"main": MAINS, "coupler": TOPS}.get(kind, LATERALS)
        if step.act in _EMPTYING and self._lets_out(step):
            found = [key for p in self._parts(step) if (key := self._class_of_part(p))]
            return min(found, key=place_of) if found else REST
        return SERVICE if step.changes or step.during or step.sees else REST

    def _lets_out(self, step: Step) -> bool:
        """Whether a step opens something or is done to a part that it leaves open."""
        return not step.changes or any(c.position in _OPENED for c in step.changes)

    def group_of_step(self, step: Step) -> str:
        """Return what steps belong together: a zone, a part, a row.

        Parameters
        ----------
        step : Step
            The step. [-]

        Returns
        -------
        str
            Name of the group. [-]
        """
        if step.row is not None:
            return f"row {step.row}"
        for part in self._parts(step):
            zone = self._zone_of(part)
            if zone is not None:
                return f"zone {zone}"
            if part:
                return part
        return step.key

    def _parts(self, step: Step) -> Iterator[str]:
        """Yield the parts that a step is about, those that it moves first."""
        elements = self.piping.elements
        for change in (*step.changes, *step.during):
            if change.element in elements:
                yield elements[change.element].part
        yield elements[step.on].part if step.on in elements else step.on

    def _zone_of(self, part: str) -> str | None:
        graph = self.piping.graph
        if part in self._zones:
            return self._zones[part]
        for key in graph.joined.get(part, ()):
            if key in self._zones and key not in (z.valve for z in graph.site.zones):
                return self._zones[key]
        return None

    def _class_of_part(self, part: str) -> str:
        graph = self.piping.graph
        if part in self.exposed.all or part in self._near:
            return BRASS
        found = graph.points.get(part) or graph.links.get(part)
        if found is None:
            return ""
        if part in self._tops_drains:
            return DRAINS
        buried = LATERALS if self._zone_of(part) is not None else MAINS
        return _KINDS.get(found.kind, buried)

    def _riser_drains(self) -> frozenset[str]:
        """Return the drains and cocks on the risers of the exposed assemblies."""
        links = self.piping.graph.links
        inlets = {
            self.piping.cell_of[links[key].from_] for key in self.exposed.assemblies
        }
        return frozenset(
            o.element
            for o in self.piping.openings
            if o.kind in ("drain", "test_cock") and o.cell in inlets
        )

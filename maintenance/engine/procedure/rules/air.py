"""Rules about the compressor."""

from collections.abc import Iterator
from typing import Final

from maintenance.engine.procedure.elements import COMPRESSOR
from maintenance.engine.procedure.rules.rule import Breach, Moment, Rule
from maintenance.engine.site import Pipe

STANDS_AIR: Final = ("copper", "steel")
"""Materials that the plastics' warnings are not about."""


def _unfit_for_air(moment: Moment) -> Iterator[Breach]:
    piping, standing = moment.piping, moment.after.standing
    air = standing.air
    for source, cells in standing.reach.items():
        both = air & cells
        if both:
            yield Breach(
                ("source", source),
                f"The compressor and {source} press on the same section, at "
                f"{standing.name(min(both))}: shut the source first.",
            )
    if air:
        yield from _weak_parts(moment)
    for gate in piping.gates if air else ():
        if gate.kind == "pump" and gate.end in air:
            yield Breach(
                ("part", gate.id),
                f"Air presses on the pump {gate.id}: shut it off from the air.",
            )
        if gate.kind == "assembly" and gate.start in air:
            yield Breach(
                ("part", gate.id),
                f"Air is blown into the assembly {gate.id}: connect downstream of it "
                "and shut it off.",
            )
    for injector, cell in piping.injectors.items():
        if cell in air and standing.positions[injector] == "in_place":
            yield Breach(
                ("part", injector),
                f"Air is blown through the injector {injector}: take it out first.",
            )


def _weak_parts(moment: Moment) -> Iterator[Breach]:
    piping, graph = moment.piping, moment.piping.graph
    for key, bore in graph.bores.items():
        link = graph.links[key]
        exposed = bore.placement != "buried" and bore.material not in STANDS_AIR
        excepted = isinstance(link, Pipe) and link.air_exception
        if not exposed or excepted:
            continue
        if piping.cell_of[link.from_] in moment.after.standing.air:
            yield Breach(
                ("plastic", key),
                f"Air presses on {key}, plastic pipe that is not buried: it can burst "
                "into splinters. Connect beyond it, or shut it off.",
            )


def _no_way_out(moment: Moment) -> Iterator[Breach]:
    standing = moment.after.standing
    if standing.positions[COMPRESSOR] != "on":
        return
    if not standing.air:
        yield Breach(
            ("no hose",), "The compressor runs with its hose on no port: connect it."
        )
    elif not any(moment.after.seen_open(cell) for cell in standing.air):
        at = standing.name(min(standing.air))
        yield Breach(
            ("no outlet",),
            f"Air is on at {at} and no open outlet was seen to pass: open one and see "
            "it pass before air goes in.",
        )


FIT_FOR_AIR = Rule(
    "I6",
    "Air only on parts that it may press on, and on no water source",
    "The compressor never presses on the section of a water source, on plastic pipe "
    "above ground, on a pump or an injector, or into an assembly.",
    "danger",
    "Plastics Pipe Institute, Recommendation B; OSHA bulletins of 1988 and 1990; ASTM "
    "D2241, note 1",
    _unfit_for_air,
)
AIR_WITH_OUTLET = Rule(
    "I7",
    "Air only with an open outlet",
    "The compressor is on only while an outlet of the section is open and was seen to "
    "pass.",
    "danger",
    "derived from the energy stored in compressed air; ASTM D2241, note 1",
    _no_way_out,
)

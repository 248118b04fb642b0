"""A house fed by the same water keeps it, and neither air nor a drain gets at it."""

from collections.abc import Iterator
from typing import Final

from maintenance.engine.procedure.piping import Gate
from maintenance.engine.procedure.rules.rule import Breach, Moment, Rule
from maintenance.engine.procedure.sections import Standing
from maintenance.engine.procedure.spread import BOTH, spread
from maintenance.engine.procedure.ways_out import WASTE

_DRAWN_FROM: Final = ("quick_coupler", "hydrant")
"""Made to be drawn from: open, they take water of a line and do not drain it."""


def _keeps_its_water(moment: Moment) -> Iterator[Breach]:
    after = moment.after.standing
    for user, cell in moment.piping.users.items():
        if user not in moment.agreed:
            yield from _loses_water(moment, user, cell)
        if after.air and cell in _where_air_may_get(moment):
            yield Breach(
                ("air", user),
                f"Only valves that were not proved to hold keep the air from {user}.",
            )


def _loses_water(moment: Moment, user: str, cell: int) -> Iterator[Breach]:
    fed, kept = (s.standing.sources_at(cell) for s in (moment.start, moment.after))
    if fed and not kept:
        yield Breach(
            ("dry", user),
            f"{user} is left without water: leave its way open, or ask those who use it.",
        )
    drained_by = _drains(moment, cell)
    if drained_by:
        yield Breach(
            ("drained", user),
            f"{drained_by} stands open to the line of {user} and drains it.",
        )


def _drains(moment: Moment, cell: int) -> str:
    """Return what drains a house line now and did not at the start, or nothing."""
    was = _open_to(moment.start.standing, cell)
    if moment.step is not None and moment.step.act == "test":
        return ""
    return next(
        (key for key in _open_to(moment.after.standing, cell) if key not in was), ""
    )


def _open_to(standing: Standing, cell: int) -> list[str]:
    """Return what a person opened where valves alone lead from a cell."""
    piping = standing.piping
    ways = tuple(
        0 if gate.kind in ("assembly", "pump") else way
        for way, gate in zip(standing.passing, piping.gates, strict=True)
    )
    onward = spread(piping, [cell], ways)
    return [
        opening.element
        for each in sorted(onward)
        for opening in standing.open.get(each, ())
        if opening.element and opening.kind not in (WASTE, *_DRAWN_FROM)
    ]


def _where_air_may_get(moment: Moment) -> frozenset[int]:
    """Return where air gets with every valve counted as open that was not proved."""
    state = moment.after

    def ways(number: int, gate: Gate) -> int:
        if gate.kind == "assembly":
            return 0
        if gate.kind in ("valve", "diaphragm"):
            shut = state.standing.passing[number] == 0
            return 0 if shut and gate.id in state.proved else BOTH
        return BOTH

    return spread(moment.piping, state.standing.air, ways)


HOUSE_KEEPS_WATER = Rule(
    "I12",
    "Other uses keep their water",
    "A house or other use keeps its water unless its people agree, and valves that "
    "were not proved to hold never alone part it from air or an open drain.",
    "danger",
    "common practice, no source",
    _keeps_its_water,
)

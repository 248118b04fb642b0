"""Rules about how a list leaves the site."""

from collections.abc import Iterator, Mapping
from typing import Final

from maintenance.engine.procedure.rules.rule import Breach, Moment, Rule
from maintenance.engine.procedure.state import drains

_IRRIGATION: Final = frozenset(
    {"head", "checked_head", "quick_coupler", "blowout_port", "automatic_drain"}
)


def _left_full(moment: Moment) -> Iterator[Breach]:
    if moment.season != "shutdown":
        return
    state, piping = moment.after, moment.piping
    standing = state.standing
    levels: Mapping[str, float | None] = {}
    if moment.levels is not None:
        levels = moment.levels(standing.positions)
    irrigation = {o.cell for o in piping.openings if o.kind in _IRRIGATION}
    for section in standing.cells:
        name = standing.name(section[0])
        if any(standing.sources_at(cell) for cell in section):
            kept = set(section) & set(piping.users.values())
            if irrigation & set(section) and not kept:
                yield Breach(
                    ("fed", name),
                    f"The section at {name} is still fed by "
                    f"{' and '.join(standing.sources_at(section[0]))}.",
                )
            continue
        if any(cell in section for cell in piping.supplies.values()):
            continue
        full = any(state.contents[c].holds in ("water", "unknown") for c in section)
        opened = drains(standing, state.seen, section)
        if full and not opened:
            yield Breach(
                ("full", name),
                f"The section at {name} is left closed and full: open a drain there and "
                "see it run, or blow it out.",
            )
        elif opened and _level_over_all(moment, section, levels):
            yield Breach(
                ("level", name),
                f"The section at {name} has an opening, but it lies too high to let the "
                "water out: open a lower one, or blow it out.",
            )


def _level_over_all(
    moment: Moment, section: tuple[int, ...], levels: Mapping[str, float | None]
) -> bool:
    """Whether water stands over the whole of a section that was not blown."""
    contents = [moment.after.contents[cell].holds for cell in section]
    points, opened = moment.piping.graph.points, moment.after.standing.open
    lips = {o.point for cell in section for o in opened.get(cell, ())}
    members = (p for cell in section for p in moment.piping.members[cell])
    names = [name for name in members if name in points and name not in lips]
    if "air" in contents or not names or any(name not in levels for name in names):
        return False
    return all(
        level is None or level > points[name].elevation.value
        for name in names
        for level in (levels[name],)
    )


def _out_of_place(moment: Moment) -> Iterator[Breach]:
    positions = moment.after.standing.positions
    for key, element in moment.piping.elements.items():
        if moment.season == "shutdown":
            named, season = element.winter, "winter"
        elif moment.season == "frost_night":
            named, season = element.winter + element.summer, "summer or winter"
        else:
            named, season = element.summer, "summer"
        if positions[key] not in named:
            yield Breach(
                (key,),
                f"{key} is left {_said(positions[key])}; its {season} position is "
                f"{' or '.join(_said(word) for word in dict.fromkeys(named))}.",
            )


def _said(position: str) -> str:
    return position.replace("_", " ")


EMPTIED = Rule(
    "I9",
    "Nothing is left closed and full",
    "No section is left for winter closed, full and without an open outlet.",
    "damage",
    "purpose of the work",
    at_end=_left_full,
)
IN_PLACE = Rule(
    "I10",
    "Everything ends in its named position",
    "At the end everything stands in a position that is named for the season.",
    "order",
    "purpose of the work",
    at_end=_out_of_place,
)

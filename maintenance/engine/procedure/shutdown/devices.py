"""What is in the line or beside it and is no valve: filters, meters, tanks, vents."""

from maintenance.engine.procedure.elements import TAKEN_OUT_KINDS
from maintenance.engine.procedure.shutdown import cautions, citations
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.names import capital, noted, zone_words
from maintenance.engine.procedure.step import NO_SOURCE, Act, Change, Step
from maintenance.engine.site import Head, InlineDevice, Outlet

_NAMES = {"flow_sensor": "flow sensor"}


def take_out_devices(draft: Draft, blown: frozenset[int]) -> None:
    """Write the steps that take out what air or ice would break.

    Parameters
    ----------
    draft : Draft
        The list so far, the pressure let off. [-]
    blown : frozenset of int
        Cells that are blown later. [-]
    """
    given, standing = draft.given, draft.standing
    for link in given.graph.links.values():
        if not isinstance(link, InlineDevice) or link.kind not in TAKEN_OUT_KINDS:
            continue
        cell = given.piping.cell_of[link.to]
        if standing.sources_at(cell) or cell in given.users.values():
            continue
        if link.kind in ("meter", "flow_sensor") and cell not in blown:
            continue
        draft.add(_taken_out(draft, link))


def empty_the_rest(draft: Draft) -> None:
    """Write the steps for tanks, vents and the ends of drip lines.

    Parameters
    ----------
    draft : Draft
        The list so far, drained or blown. [-]
    """
    for point in draft.given.graph.points.values():
        if isinstance(point, Outlet) and point.kind == "tank":
            draft.add(
                _simple(
                    "drain",
                    point,
                    f"Empty tank {point.id} and its float valve. Leave its drain open.",
                    "Ice lifts and splits a tank that is left full.",
                )
            )
        if isinstance(point, Outlet) and point.kind == "vent":
            draft.add(
                _simple(
                    "check",
                    point,
                    f"See that air vent {point.id} moves freely and its body is empty.",
                    "It lets air in as the line empties; water in its body freezes first.",
                )
            )
    _drip(draft)


def _taken_out(draft: Draft, link: InlineDevice) -> Step:
    name = f"{_NAMES.get(link.kind, link.kind)} {link.id}{_zone(draft, link)}"
    source = citations.GEORGIA
    more: tuple[str, ...] = ()
    if link.kind == "filter":
        text = (
            f"Take the screen out of {name}, rinse it, put the empty bowl back on. "
            "Keep the screen indoors."
        )
        why = "A forgotten bowl cracks, and a wet screen holds the air back."
    elif link.kind == "injector":
        text = (
            f"Take {name} out of the line, flush it with clean water and close the gap. "
            "Store chemicals at least 100 ft from any well."
        )
        why = "Air must not carry chemicals into the pipe."
        source = f"{citations.GEORGIA}; {citations.OREGON_HEALTH}"
        more = ("Never bleach together with acid or ammonia.",)
    else:
        text = (
            f"Take the insert out of {name} and close its seat. If it cannot come out, "
            "let the air on slowly here."
        )
        why = "Air spins a turbine many times too fast."
        source = citations.MEMORY
    return Step(
        key=f"remove {link.id}",
        act="remove",
        on=link.id,
        to="taken out",
        text=f"{text}{noted(link)}",
        why=why,
        cautions=(cautions.SPURTS, *more),
        source=source,
        minutes=4,
        changes=(Change(link.id, "taken_out"),),
    )


def _zone(draft: Draft, link: InlineDevice) -> str:
    """Name the zone that a device belongs to, if it belongs to one."""
    given = draft.given
    cell = given.piping.cell_of[link.to]
    for opening in given.piping.openings:
        if opening.cell == cell and opening.valves:
            return f" ({zone_words(given.zones[opening.valves[0]])})"
    return ""


def _simple(act: Act, point: Outlet, text: str, why: str) -> Step:
    return Step(
        key=f"{act} {point.id}",
        act=act,
        on=point.id,
        to="empty",
        text=f"{text}{noted(point)}",
        why=why,
        source=NO_SOURCE,
        minutes=5,
    )


def _drip(draft: Draft) -> None:
    """Write what is left to do on drip zones once their lines are empty."""
    given = draft.given
    drip: dict[str, None] = {}
    for opening in given.piping.openings:
        head = given.graph.points.get(opening.point)
        if isinstance(head, Head) and head.head == "drip_emitters":
            drip.update(dict.fromkeys(opening.valves))
    for valve in drip:
        draft.add(
            Step(
                key=f"drain drip {valve}",
                act="drain",
                on=valve,
                to="empty",
                text=(
                    f"{capital(zone_words(given.zones[valve]))}: open the ends of the "
                    "lines, lift them at low spots until they drip out, then cap them "
                    "loosely."
                ),
                why="Emitters pass little air: water stays in the sags.",
                source=citations.GEORGIA,
                minutes=5,
            )
        )

"""Drains: the high openings first, so that air gets in, then the low ones."""

from maintenance.engine.procedure.elements import TEST_COCKS
from maintenance.engine.procedure.shutdown import cautions, citations
from maintenance.engine.procedure.shutdown.assemblies import (
    cocks_word,
    doubts_about,
)
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.names import listed, noted, part_words
from maintenance.engine.procedure.step import NO_SOURCE, Change, Step
from maintenance.engine.procedure.ways_out import Opening
from maintenance.engine.site import Drain

WAIT_MINUTES = 20.0
"""How long lines are left to run out; common practice, no source."""
_RUN_OUT = ("drain", "end", "open_end", "blowout_port")
_SHUT = {"quick_coupler": "key_out", "blowout_port": "plug_in"}


def open_drains(draft: Draft, blown: frozenset[int]) -> None:
    """Write the steps that open what lets water out and air in, from the top down.

    Parameters
    ----------
    draft : Draft
        The list so far, all pressure let off. [-]
    blown : frozenset of int
        Cells that are blown later: of their couplers only the highest is opened, as
        an air inlet, and their end caps wait for the air. [-]
    """
    given, opened = draft.given, []
    for section in draft.dry():
        if draft.state.section(section).pressure != "relieved":
            _warn_of_pressure(draft, section)
            continue
        found = _chosen(draft, section, blown)
        for opening in sorted(found, key=given.height_m, reverse=True):
            if draft.positions[opening.element] in ("open", "half_open", "key_in"):
                continue
            if not draft.breaks(step := _opened(draft, opening)):
                draft.add(step)
                opened.append(opening)
    ways_out = [o for o in opened if o.kind == "drain"] or [
        o for o in opened if o.kind in _RUN_OUT
    ]
    low = [o.element for o in ways_out]
    if low:
        draft.add(
            Step(
                key="drain lines",
                act="drain",
                on="lines",
                to="run out",
                text=f"Let {listed(low)} run until {'it' if len(low) == 1 else 'they'} only "
                f"{'drips' if len(low) == 1 else 'drip'}.",
                why="What runs out by itself need not be blown, and a weep shows only then.",
                source=f"{citations.LAKE_OSWEGO}; {citations.MICHIGAN}",
                minutes=WAIT_MINUTES,
            )
        )
    _look_at_automatic_drains(draft)


def shut_openings(draft: Draft, cells: frozenset[int], but: frozenset[str]) -> None:
    """Write the steps that shut what stands open in some cells.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    cells : frozenset of int
        Cells that air will press on. [-]
    but : frozenset of str
        Elements that are to stay as they are. [-]
    """
    for opening in draft.openings(cells):
        shut = _SHUT.get(opening.kind, "closed")
        if opening.element in but or draft.positions[opening.element] == shut:
            continue
        draft.add(closed_again(draft, opening))


def closed_again(
    draft: Draft, opening: Opening, *, first: str = "", why: str = ""
) -> Step:
    """Return the step that shuts an opening before air.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    opening : Opening
        The opening. [-]
    first : str, optional
        Sentence that comes before it. [-]
    why : str, optional
        The reason; by default that air is to come. [-]

    Returns
    -------
    Step
        Keys come out, plugs and caps go on, the rest is shut. [-]
    """
    name = _name(draft, opening)
    shut = _SHUT.get(opening.kind, "closed")
    texts = {
        "quick_coupler": f"Take the key out of {name}.",
        "blowout_port": f"Put the plug back into {name}, by hand only.",
        "end": f"Put the {name} back on.",
        "open_end": f"Cap {name}.",
    }
    return Step(
        key=f"close {opening.element}",
        act="close",
        on=opening.element,
        to=shut.replace("_", " "),
        text=first + texts.get(opening.kind, f"Shut {name}."),
        why=why or "Air would leave here instead of by the heads.",
        cautions=(cautions.KEY,) if opening.kind == "quick_coupler" else (),
        minutes=2,
        changes=(Change(opening.element, shut),),
    )


def _chosen(
    draft: Draft, section: tuple[int, ...], blown: frozenset[int]
) -> list[Opening]:
    """Return what is opened in a section, with one high inlet where air is to come."""
    by_air = bool(blown & set(section))
    always = ["drain", "test_cock", "test_cocks", "first_cock", "hydrant"]
    ends = ["end", "open_end", "blowout_port"]
    found, couplers = [], []
    for opening in draft.openings(section):
        if opening.kind == "quick_coupler":
            couplers.append(opening)
        elif opening.kind in always or (opening.kind in ends and not by_air):
            found.append(opening)
    if by_air and couplers:
        top = max(couplers, key=draft.given.height_m)
        lower = [draft.given.height_m(each) for each in found]
        runs_out = any(each.kind == "drain" for each in found)
        higher = draft.given.height_m(top) > max(lower, default=0.0)
        couplers = [top] if runs_out and higher else []
    return found + couplers


def _opened(draft: Draft, opening: Opening) -> Step:
    name, element = _name(draft, opening), opening.element
    point = draft.given.graph.points.get(opening.point)
    note = noted(point) if point is not None else ""
    to = _open_word(draft, opening)
    half = " half" if to == "half_open" else ""
    text = f"Open {name}{half}. See it run.{note}"
    why = "A low opening lets the water out by its own weight."
    source = f"{citations.LAKE_OSWEGO}; {citations.MEDFORD}"
    caution, more = cautions.SPURTS, tuple[str, ...]()
    if opening.kind == "quick_coupler":
        text = f"Put the key into {name}.{note}"
        why = "A high opening lets air in; without air the pipe below holds its water."
        source, caution = citations.MEMORY, cautions.KEY
    elif opening.kind in ("test_cocks", "first_cock", "test_cock", "hydrant"):
        more = doubts_about(draft, element, to) if element != opening.point else ()
        text = f"Open {name}{half}. See water or air pass.{note}"
        why = "It lets air in above and water out of the body."
    elif opening.kind == "end":
        text = f"Take the {name} off.{note}"
    elif opening.kind == "blowout_port":
        text = f"Take the plug out of {name}.{note}"
        caution = cautions.PLUG
    return Step(
        key=f"open {element}",
        act="open",
        on=element,
        to=to.replace("_", " "),
        text=text,
        why=why,
        cautions=(caution, *more),
        source=source,
        minutes=3,
        changes=(Change(element, to),),
        sees=(element,),
    )


def _open_word(draft: Draft, opening: Opening) -> str:
    """Return how far it is opened: cocks as they stay for winter, the rest fully."""
    if opening.kind == "quick_coupler":
        return "key_in"
    if draft.given.piping.elements[opening.element].kind == TEST_COCKS:
        return cocks_word(draft, opening.element)
    return "open"


def _name(draft: Draft, opening: Opening) -> str:
    points = draft.given.graph.points
    if opening.point in points:
        return part_words(points[opening.point])
    return f"the test cocks of {opening.point}"


def _warn_of_pressure(draft: Draft, section: tuple[int, ...]) -> None:
    if not draft.openings(section):
        return
    at = draft.standing.name(section[0])
    draft.warn(
        "pressure_stays",
        f"Nothing recorded lets the pressure off at {at}: its openings are left shut. "
        "Fit a drain there.",
        at,
    )


def _look_at_automatic_drains(draft: Draft) -> None:
    drains = [
        point
        for point in draft.given.graph.points.values()
        if isinstance(point, Drain) and point.drain == "automatic"
    ]
    for drain in drains:
        below = f" below {drain.opens_below.text}" if drain.opens_below else ""
        draft.add(
            Step(
                key=f"check {drain.id}",
                act="check",
                on=drain.id,
                to="runs",
                text=(
                    f"Look at automatic drain {drain.id}: it should run by itself"
                    f"{below}.{noted(drain)}"
                ),
                why="A plugged one is a usual cause of split pipe.",
                source=f"{citations.MICHIGAN}; {NO_SOURCE} for the look",
                minutes=2,
            )
        )

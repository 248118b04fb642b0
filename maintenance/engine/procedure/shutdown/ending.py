"""The end: drains left open, valves and plugs for winter, lids, tags, the record."""

from maintenance.engine.procedure.elements import Element
from maintenance.engine.procedure.rules.ending import EMPTIED
from maintenance.engine.procedure.rules.rule import Moment
from maintenance.engine.procedure.shutdown import cautions, citations
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.isolation import source_valves
from maintenance.engine.procedure.shutdown.names import listed, noted, part_words
from maintenance.engine.procedure.step import NO_SOURCE, Act, Change, Step
from maintenance.engine.site import IsolationValve

_LEFT_OPEN = ("drain", "test_cock")
_SHUT_AT_LAST = ("hydrant", "end")


def stay_for_weeps(draft: Draft) -> None:
    """Name the openings that carry off what a source valve may let past all winter.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    """
    held = source_valves(draft)
    for valve, opening in draft.watched.items():
        words = draft.given.piping.elements[opening].winter
        if valve in held and {"open", "half_open"} & set(words[:1]):
            draft.stay(
                opening,
                f"so that {valve}, should it weep, runs to waste; look at it in winter",
            )


def leave_drains(draft: Draft) -> None:
    """Write the steps that leave the drains open for winter.

    Parameters
    ----------
    draft : Draft
        The list so far, the hose off. [-]
    """
    for section in draft.dry():
        for opening in draft.openings(section):
            element = draft.given.piping.elements[opening.element]
            word = element.winter[0]
            now = draft.positions[element.id]
            if element.kind not in _LEFT_OPEN or now == word or word == "closed":
                continue
            part = draft.given.graph.points[element.part]
            half = " half" if word == "half_open" else ""
            _unless_broken(
                draft,
                Step(
                    key=f"leave {element.id}",
                    act="open",
                    on=element.id,
                    to=word.replace("_", " "),
                    text=f"Open {part_words(part)}{half} and leave it open all winter.",
                    why="What collects later, and what a valve lets past, runs out.",
                    source=f"{citations.MICHIGAN}; {citations.LAKE_OSWEGO}",
                    minutes=2,
                    changes=(Change(element.id, word),),
                    sees=(element.id,),
                ),
            )
            if draft.positions[element.id] == word:
                draft.stay(element.id, "carries off what collects in winter")


def reopen_legs(draft: Draft) -> None:
    """Write that valves shut for the air are opened again while the drains run.

    Parameters
    ----------
    draft : Draft
        The list so far, the hose off and the drains open. [-]
    """
    held = source_valves(draft)
    summer = draft.given.start.standing.positions
    for link in draft.given.graph.links.values():
        if not isinstance(link, IsolationValve) or link.id in held:
            continue
        if draft.positions[link.id] != "closed" or summer[link.id] == "closed":
            continue
        step = Step(
            key=f"drain through {link.id}",
            act="drain",
            on=link.id,
            to="open for now",
            text=f"Open {part_words(link)} again and let its legs run to the drains.",
            why="Shut for the air, it left two dead ends that no air swept.",
            source=NO_SOURCE,
            minutes=5,
            changes=(Change(link.id, summer[link.id]),),
        )
        if not draft.breaks(step):
            draft.add(step)


def leave_valves(draft: Draft) -> None:
    """Write the steps that bring everything else to its position for winter.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    """
    held = source_valves(draft)
    summer = draft.given.start.standing.positions
    for element in draft.given.piping.elements.values():
        now = draft.positions[element.id]
        word = element.winter[0]
        if element.kind == "isolation_valve" and len(element.winter) > 1:
            word = summer[element.id]
        listed_so = now in element.winter and element.kind not in _SHUT_AT_LAST
        restored = element.kind == "isolation_valve" and element.id not in held
        plug = element.kind == "blowout_port"
        if now == word or (listed_so and not restored and not plug):
            continue
        _unless_broken(draft, _left(draft, element, word))


def finish(draft: Draft) -> None:
    """Write lids, tags and the record, and warn of what is left full.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    """
    held = source_valves(draft)
    if any(zone.box for zone in draft.given.zones.values()):
        draft.add(
            _last(
                "install",
                "boxes",
                "covers on",
                "Put every lid and cover back. Look that no cap or plug is left over.",
                "Animals and leaves get in, and feet.",
                10,
            )
        )
    if held:
        draft.add(
            _last(
                "tag",
                held[0],
                "tagged",
                f"Tag {listed(held)}: shut for winter, drains open behind. Do not open.",
                "Someone opens the water on a warm day.",
                5,
            )
        )
    draft.add(
        _last(
            "record",
            "record",
            "written",
            "Write down date, who, compressor, settings, passes, readings, zones skipped "
            "and why, every position, every fault.",
            "Spring undoes exactly what was done, and faults are forgotten.",
            10,
        )
    )
    _warn_of_full(draft)


def _left(draft: Draft, element: Element, word: str) -> Step:
    points, links = draft.given.graph.points, draft.given.graph.links
    known = points.get(element.part) or links.get(element.part)
    name = part_words(known) if known is not None else element.id
    note = noted(known) if known is not None else ""
    said = word.replace("_", " ")
    act: Act = "close" if word == "closed" else "open"
    if word == "half_open":
        act = "set"
    verbs = {"close": "Shut", "open": "Open", "set": "Set"}
    text = f"{verbs[act]} {name}{f' {said}' if act == 'set' else ''}.{note}"
    why = "So this site leaves it for winter."
    warned: tuple[str, ...] = ()
    if element.kind == "blowout_port":
        act, text = "install", f"Put the plug back into {name}, by hand only."
        why = "Wrenched tight, it splits when it freezes, and nobody gets it out."
    elif element.kind == "end":
        text = f"Put the {name} back on."
        why = "Animals stay out."
    elif element.kind == "quick_coupler":
        act, text = "close", f"Take the key out of {name}."
        why, warned = "Keys are kept indoors.", (cautions.KEY,)
    return Step(
        key=f"leave {element.id}",
        act=act,
        on=element.id,
        to=said,
        text=text,
        why=why,
        cautions=warned,
        source="the site's own record" if len(element.winter) == 1 else NO_SOURCE,
        minutes=2,
        changes=(Change(element.id, word),),
    )


def _unless_broken(draft: Draft, step: Step) -> None:
    """Add a step, or warn where it would break a rule."""
    broken = draft.breaks(step)
    if not broken:
        draft.add(step)
        return
    draft.warn(
        "not_left_so",
        f"{step.on} is not left {step.to}: {broken}",
        step.on,
    )


def _warn_of_full(draft: Draft) -> None:
    now = draft.state
    moment = Moment(
        "shutdown", draft.given.start, now, None, now, draft.given.choices.agreed, None
    )
    for breach in EMPTIED.at_end(moment) if EMPTIED.at_end else ():
        draft.warn("left_full", breach.text, *breach.key[1:])


def _last(act: Act, on: str, to: str, text: str, why: str, minutes: float) -> Step:
    return Step(
        key=f"{act} {on}",
        act=act,
        on=on,
        to=to,
        text=text,
        why=why,
        source=NO_SOURCE,
        minutes=minutes,
    )

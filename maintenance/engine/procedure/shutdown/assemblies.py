"""Backflow assemblies: cocks and shut-offs by kind, and by the site's own record.

Sources differ on how an assembly is left; both stand beside the step.
"""

from typing import Final

from maintenance.engine.procedure.elements import (
    SHUTOFF_1,
    SHUTOFF_2,
    TEST_COCKS,
    part_element,
)
from maintenance.engine.procedure.shutdown import citations
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.isolation import source_valves
from maintenance.engine.procedure.shutdown.names import noted
from maintenance.engine.procedure.step import NO_SOURCE, Change, Step
from maintenance.engine.site import Backflow

ENTERED: Final = "entered for this site"
HALF: Final = "half open (45 degrees)"
_USUAL_SHUTOFFS: Final = (
    f"{citations.MEDFORD}; {citations.DURHAM}; {citations.COLORADO}"
)
_USUAL_COCKS: Final = f"{citations.DURHAM}; {citations.COLORADO}"
_DC_COCKS: Final = "contractors' practice on buried double checks (names withheld)"


def cocks_word(draft: Draft, element: str) -> str:
    """Return the position in which an assembly's test cocks are opened.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    element : str
        Element of the cocks. [-]

    Returns
    -------
    str
        As entered; else half open, fully on a buried double check. The first cock
        stays shut where it stands before the only valve that is shut. [-]
    """
    piping = draft.given.piping
    pressed = any(
        opening.element == element
        and opening.kind == "first_cock"
        and draft.standing.sources_at(opening.cell)
        for opening in piping.openings
    )
    if pressed:
        return "open_but_first"
    words = piping.elements[element].winter
    link = draft.given.graph.links[piping.elements[element].part]
    if len(words) > 2 and isinstance(link, Backflow) and link.device == "DC":
        return "open"
    return next((word for word in words if word != "closed"), "open")


def empty_assemblies(draft: Draft) -> None:
    """Write the steps that empty the bodies of assemblies that no source presses on.

    Parameters
    ----------
    draft : Draft
        The list so far, the test cocks open. [-]
    """
    for link in _assemblies(draft):
        first = part_element(link.id, SHUTOFF_1)
        if link.device == "AVB":
            draft.add(_air_inlet(link))
        if link.device == "AG":
            draft.add(_gap(link))
        if first in draft.given.piping.elements:
            _leave(draft, link, first)


def leave_assemblies(draft: Draft) -> None:
    """Write the steps that leave assemblies for winter, once the air is off.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    """
    for link in _assemblies(draft):
        for name in (SHUTOFF_2, TEST_COCKS):
            element = part_element(link.id, name)
            if element in draft.given.piping.elements:
                _leave(draft, link, element)
        if link.placement != "indoors":
            draft.add(_cover(link))


def _assemblies(draft: Draft) -> list[Backflow]:
    """Return the assemblies that no source presses on as the site stands."""
    given, standing = draft.given, draft.standing
    return [
        link
        for link in given.graph.links.values()
        if isinstance(link, Backflow)
        and not standing.sources_at(given.piping.cell_of[f"{link.id}/inlet"])
    ]


def _leave(draft: Draft, link: Backflow, element: str) -> None:
    """Bring one part of an assembly to the position in which it spends the winter."""
    known = draft.given.piping.elements[element]
    part = element.rpartition("/")[2]
    word = cocks_word(draft, element) if part == TEST_COCKS else known.winter[0]
    if word not in known.winter:
        word = known.winter[0]
    if element in source_valves(draft) or draft.positions[element] == word:
        return
    names = {
        SHUTOFF_1: f"the first shut-off of {link.id}",
        SHUTOFF_2: f"the second shut-off of {link.id}",
        TEST_COCKS: f"the test cocks of {link.id}",
    }
    said = HALF if word == "half_open" else word.replace("_", " ")
    _, source = _usual(link, part)
    step = Step(
        key=f"set {element}",
        act="set",
        on=element,
        to=said,
        text=f"Set {names[part]} {said}.",
        why="Shut, a ball valve keeps water in its ball, and splits.",
        cautions=doubts_about(draft, element, word),
        source=source,
        minutes=1,
        changes=(Change(element, word),),
        sees=(element,) if part == TEST_COCKS and word != "closed" else (),
    )
    draft.add(step)


def _usual(link: Backflow, part: str) -> tuple[tuple[str, ...], str]:
    """Return the positions that sources give for a part, and those sources."""
    if part != TEST_COCKS:
        return ("half_open",), _USUAL_SHUTOFFS
    if link.device == "DC" and link.placement == "buried":
        return ("open", "open_but_first"), _DC_COCKS
    return ("half_open", "open", "open_but_first"), _USUAL_COCKS


def doubts_about(draft: Draft, element: str, word: str) -> tuple[str, ...]:
    """Say where the winter position of a part of an assembly is not the usual one.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    element : str
        A shut-off, or the test cocks. [-]
    word : str
        The position that it is left in. [-]

    Returns
    -------
    tuple of str
        Both sources beside each other; what is not entered; open cocks that flood. [-]
    """
    link = draft.given.graph.links[draft.given.piping.elements[element].part]
    if not isinstance(link, Backflow):
        return ()
    part = element.rpartition("/")[2]
    usual, source = _usual(link, part)
    recorded = {
        SHUTOFF_1: link.shutoff_1,
        SHUTOFF_2: link.shutoff_2,
        TEST_COCKS: link.test_cocks,
    }[part]
    named = recorded.winter if recorded else None
    said = word.replace("_", " ")
    found = []
    if named is not None and word not in usual:
        found.append(
            f"Sources differ. {said.capitalize()}: {ENTERED}. "
            f"{usual[0].replace('_', ' ').capitalize()}: {source}. The list follows the "
            "site; the local rule wins."
        )
    if named is None:
        found.append(
            f"No winter position is entered; {said} is usual. Enter what you choose."
        )
    if part == TEST_COCKS and link.placement == "buried" and word != "closed":
        found.append(
            "A box that floods puts open cocks under water, and that is a "
            "cross-connection: bail it, or plug them."
        )
    return tuple(found)


def _air_inlet(link: Backflow) -> Step:
    return Step(
        key=f"check {link.id}",
        act="check",
        on=link.id,
        to="empty",
        text=f"See that {link.id} has let air in and its body is empty: a zone has run "
        f"with the water off.{noted(link)}",
        why="Its air inlet opens only once no water presses from below.",
        source=citations.MEMORY,
        minutes=2,
    )


def _gap(link: Backflow) -> Step:
    return Step(
        key=f"check {link.id}",
        act="check",
        on=link.id,
        to="empty",
        text=f"Empty the pipe above air gap {link.id} and its float valve.{noted(link)}",
        why="The float valve holds water in the open air.",
        source=NO_SOURCE,
        minutes=5,
    )


def _cover(link: Backflow) -> Step:
    text = f"Wrap {link.id} loosely, so that it can drip. Take it off in spring."
    more: tuple[str, ...] = ()
    if link.placement == "buried":
        text = f"Lay insulation over {link.id} in its box."
    elif link.device == "RP":
        more = (
            (
                f"Or take {link.id} out at its unions and store it indoors with its "
                "serial number: some towns ask for it. Then it needs a test before use."
            ),
        )
    return Step(
        key=f"install cover {link.id}",
        act="install",
        on=link.id,
        to="covered",
        text=text,
        why="Some water stays in springs and seats whatever is opened.",
        cautions=more,
        source=citations.NORTH_RIVERSIDE if more else citations.COLORADO,
        minutes=5,
    )

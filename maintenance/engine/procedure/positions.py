"""Positions of the elements of a site, in summer, in winter and after a change."""

from collections.abc import Iterable, Mapping

from maintenance.engine.errors import InputError
from maintenance.engine.network.graph import Graph
from maintenance.engine.procedure.elements import Element, site_elements
from maintenance.engine.procedure.step import Change

Positions = Mapping[str, str]


def summer_positions(graph: Graph) -> dict[str, str]:
    """Return how the system stands in summer, with no zone running.

    Parameters
    ----------
    graph : Graph
        The site. [-]

    Returns
    -------
    dict of str to str
        Position of every element. [-]
    """
    return {key: each.summer[0] for key, each in site_elements(graph).items()}


def winter_positions(graph: Graph) -> dict[str, str]:
    """Return how the system is left for winter: as the site names it, else by custom.

    Parameters
    ----------
    graph : Graph
        The site. [-]

    Returns
    -------
    dict of str to str
        Position of every element. [-]
    """
    return {key: each.winter[0] for key, each in site_elements(graph).items()}


def changed(
    elements: Mapping[str, Element], positions: Positions, changes: Iterable[Change]
) -> dict[str, str]:
    """Return positions after some changes.

    Parameters
    ----------
    elements : mapping of str to Element
        What there is to move. [-]
    positions : mapping of str to str
        Positions before. [-]
    changes : iterable of Change
        What is moved. [-]

    Returns
    -------
    dict of str to str
        Positions after. [-]

    Raises
    ------
    InputError
        If there is no such element, or it has no such position.
    """
    after = dict(positions)
    for change in changes:
        element = elements.get(change.element)
        if element is None:
            raise InputError(
                f'nothing on this site is called "{change.element}"; write the id of a '
                "part that can be moved"
            )
        if change.position not in element.words:
            raise InputError(
                f'{change.element} has no position "{change.position}"; write one of '
                f"{', '.join(element.words)}"
            )
        after[change.element] = change.position
    return after

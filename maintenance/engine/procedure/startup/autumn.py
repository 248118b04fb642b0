"""What autumn left behind, and the state that spring begins in."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from maintenance.engine.errors import InputError
from maintenance.engine.figure import Warning
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.beginning import begin
from maintenance.engine.procedure.piping import Piping, lay_piping
from maintenance.engine.procedure.positions import changed, winter_positions
from maintenance.engine.procedure.progress import ZoneEnd
from maintenance.engine.procedure.state import State
from maintenance.engine.procedure.step import Change
from maintenance.engine.site import Site
from maintenance.engine.site.card import site_from_card

MIRRORED = (
    "No closed autumn list is on record: this list mirrors the winter positions of the "
    "site. Look at every drain, cock and plug, whether it is listed or not."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class AutumnRecord:
    """A closed autumn list.

    Attributes
    ----------
    positions : mapping of str to str
        How each element was left for winter; one that is left out stands as the site
        names it. [-]
    zones : mapping of str to str
        How each zone ended: ``done``, ``partly``, ``not_found`` or ``skipped``. [-]
    meter_m3 : float or None
        Reading of the water meter after the water was shut off. [m3]
    notes : tuple of str
        What was written down for spring. [-]
    """

    positions: Mapping[str, str] = field(default_factory=dict)
    zones: Mapping[str, ZoneEnd] = field(default_factory=dict)
    meter_m3: float | None = None
    notes: tuple[str, ...] = ()


def left_positions(piping: Piping, autumn: AutumnRecord | None) -> dict[str, str]:
    """Return how everything was left for winter.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    autumn : AutumnRecord or None
        The autumn record; without one the site's winter positions count. [-]

    Returns
    -------
    dict of str to str
        Position of every element that the site has now. [-]

    Raises
    ------
    InputError
        If the record names a position that its element has not.
    """
    left = winter_positions(piping.graph)
    if autumn is None:
        return left
    known = [Change(*each) for each in autumn.positions.items() if each[0] in left]
    try:
        return changed(piping.elements, left, known)
    except InputError as error:
        raise InputError(f"the autumn record: {error}") from error


def begin_startup(site: Site, autumn: AutumnRecord | None = None) -> State:
    """Return the state that a start-up begins in, for the checker.

    Parameters
    ----------
    site : Site
        As recorded, checked. [-]
    autumn : AutumnRecord, optional
        The autumn record. [-]

    Returns
    -------
    State
        Of a site left as the record says, or else in its winter positions. [-]

    Raises
    ------
    InputError
        If the record names a position that its element has not.
    """
    piping = lay_piping(build_graph(site_from_card(site)))
    return begin(piping, "startup", left_positions(piping, autumn))


def record_warnings(piping: Piping, autumn: AutumnRecord | None) -> tuple[Warning, ...]:
    """Return what to know of the record that a start-up rests on.

    Parameters
    ----------
    piping : Piping
        The site. [-]
    autumn : AutumnRecord or None
        The autumn record. [-]

    Returns
    -------
    tuple of Warning
        That there is none, or what it names that is gone. [-]
    """
    if autumn is None:
        return (Warning("mirrors_winter_positions", MIRRORED),)
    return tuple(_gone(piping, autumn))


def _gone(piping: Piping, autumn: AutumnRecord) -> Iterator[Warning]:
    zones = {zone.id for zone in piping.graph.site.zones}
    gone = [key for key in autumn.positions if key not in piping.elements]
    gone += [f"zone {key}" for key in autumn.zones if key not in zones]
    if gone:
        yield Warning(
            "gone_since_autumn",
            f"The autumn record names {', '.join(gone)}, no longer on this site: look "
            "whether it was taken out, or only renamed.",
            tuple(gone),
        )

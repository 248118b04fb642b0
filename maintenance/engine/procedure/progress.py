"""How far a list has come: what has no outcome, and how the parts stand now."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final, Literal

from maintenance.engine.procedure.positions import Positions
from maintenance.engine.procedure.step import Change, Step

Outcome = Literal["done", "skipped"]
ZoneEnd = Literal["done", "partly", "not_found", "skipped"]
OUTCOMES: Final[tuple[Outcome, ...]] = ("done", "skipped")
ZONE_ENDS: Final[tuple[ZoneEnd, ...]] = ("done", "partly", "not_found", "skipped")


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedStep:
    """A step in a list that is being carried out.

    Attributes
    ----------
    row : int or None
        Number under which the list keeps it, None for one that is not kept yet. [-]
    step : Step
        What it asks for. [-]
    outcome : str or None
        ``done`` or ``skipped``, None as long as nobody said. [-]
    when : datetime or None
        When it was done or skipped. [-]
    own : bool
        Whether a person added it; no compiler knows it. [-]
    placed : bool
        Whether a person moved it to where it stands. [-]
    gone : bool
        Whether a rebuild left it out; it still counts where it was done. [-]
    """

    row: int | None
    step: Step
    outcome: Outcome | None = None
    when: datetime | None = None
    own: bool = False
    placed: bool = False
    gone: bool = False


@dataclass(frozen=True, slots=True)
class Reached:
    """How the parts stand after what was done.

    ``unsure`` names the parts that were moved more than once, in another order than
    the list's: how they stand is for a person to look at.
    """

    positions: dict[str, str]
    unsure: tuple[str, ...]


def left_to_do(listed: Iterable[ListedStep]) -> tuple[ListedStep, ...]:
    """Return the steps that have no outcome.

    Parameters
    ----------
    listed : iterable of ListedStep
        The list. [-]

    Returns
    -------
    tuple of ListedStep
        In the list's order, without those that a rebuild left out. [-]
    """
    return tuple(each for each in listed if not each.gone and each.outcome is None)


def steps_to_check(listed: Iterable[ListedStep]) -> tuple[Step, ...]:
    """Return the steps that are or will be done, as a checker replays them.

    Parameters
    ----------
    listed : iterable of ListedStep
        The list. [-]

    Returns
    -------
    tuple of Step
        Without those skipped and those that a rebuild left out. What ends by itself
        though its step is skipped has ended when the next step begins. [-]
    """
    steps: list[Step] = []
    left: dict[str, str] = {}
    ended: dict[str, Change] = {}
    for each in listed:
        if each.gone:
            continue
        if each.outcome == "skipped":
            stops = _ends_by_itself(each.step)
            ended |= {c.element: c for c in stops if left.get(c.element) == "open"}
            continue
        moved = {change.element: change.position for change in each.step.changes}
        before = tuple(c for key, c in ended.items() if key not in moved)
        steps.append(replace(each.step, changes=(*before, *each.step.changes)))
        left |= dict.fromkeys(ended, "closed") | moved
        ended = {}
    return tuple(steps)


def positions_reached(start: Positions, listed: Sequence[ListedStep]) -> Reached:
    """Replay what was done; of a skipped step only what ends by itself has changed.

    Parameters
    ----------
    start : mapping of str to str
        Positions that the list starts from. [-]
    listed : sequence of ListedStep
        The list, with those that a rebuild left out: what was done stays done. [-]

    Returns
    -------
    Reached
        Positions in the order of the list, and where the order of the clock would
        have left another one. [-]
    """
    done = [each for each in listed if each.outcome is not None]
    told = [(each.when, n) for n, each in enumerate(done) if each.when is not None]
    in_order = _last_moves(done[n] for _, n in told)
    in_time = _last_moves(done[n] for _, n in sorted(told))
    unsure = tuple(
        sorted(part for part, last in in_order.items() if in_time[part] != last)
    )
    return Reached({**start, **_last_moves(done)}, unsure)


def suggested_end(listed: Iterable[ListedStep], zone: str) -> ZoneEnd | None:
    """Suggest how a zone ended, from the steps that carry out its row.

    Parameters
    ----------
    listed : iterable of ListedStep
        The list. [-]
    zone : str
        Id of the zone. [-]

    Returns
    -------
    str or None
        ``done`` or ``skipped`` where all its steps are, ``partly`` where some are;
        None while one has no outcome, or where no step is the zone's. [-]
    """
    outcomes = {e.outcome for e in listed if not e.gone and e.step.row == zone}
    if not outcomes or None in outcomes:
        return None
    if len(outcomes) > 1:
        return "partly"
    return "done" if "done" in outcomes else "skipped"


def _last_moves(told: Iterable[ListedStep]) -> dict[str, str]:
    return {
        change.element: change.position
        for each in told
        for change in (
            each.step.changes if each.outcome == "done" else _ends_by_itself(each.step)
        )
    }


def _ends_by_itself(step: Step) -> tuple[Change, ...]:
    """Return what stops though a row is not blown: the station of the row before."""
    if step.act not in ("blow", "open"):
        return ()
    return tuple(
        change
        for change in step.changes
        if change.element != step.on and change.position == "closed"
    )

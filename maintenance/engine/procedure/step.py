"""What a seasonal list is made of: steps, what they change, and what stays open."""

from dataclasses import dataclass
from typing import Final, Literal

from maintenance.engine.figure import Warning

Act = Literal[
    "close",
    "open",
    "set",
    "run",
    "drain",
    "fill",
    "connect",
    "disconnect",
    "blow",
    "relieve",
    "switch_off",
    "switch_on",
    "prove_dead",
    "prove_holding",
    "remove",
    "install",
    "check",
    "test",
    "tag",
    "record",
    "wait",
]
Season = Literal["shutdown", "startup", "frost_night", "frost_undo"]
NO_SOURCE: Final = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Change:
    """One element brought to one position; words as in `positions`."""

    element: str
    position: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing that a person does.

    Attributes
    ----------
    key : str
        Name of the step within its list; it stays when steps are moved, added or
        skipped. [-]
    act : str
        The contract's word for what is done. [-]
    on : str
        Id of a point, link, element or controller, or a plain word ("people"). [-]
    to : str
        The position or value that it is brought to, as text; may be empty. [-]
    text, why : str
        What to do, and the reason, one sentence each. [-]
    cautions : tuple of str
        Shown beside the step. [-]
    source : str
        Where the step comes from, `NO_SOURCE` where there is none. [-]
    minutes : float
        Hands-on and waiting time together. [min]
    changes : tuple of Change
        What the step leaves changed. Several changes may happen in any order, so
        every order is checked. [-]
    during : tuple of Change
        What holds only while the step lasts and is put back at its end, like a
        station that runs for two minutes. Done after ``changes``. [-]
    sees : tuple of str
        Elements whose opening the person sees pass at this step: drains, cocks,
        couplers, ports, zone valves (for their heads). An opening that was never
        seen to pass does not count as one. [-]
    row : str or None
        Row of the blow-out sheet that this step carries out. [-]
    block : str
        Heading that it stands under. [-]
    """

    key: str
    act: Act
    on: str
    to: str = ""
    text: str
    why: str = ""
    cautions: tuple[str, ...] = ()
    source: str = NO_SOURCE
    minutes: float = 0.0
    changes: tuple[Change, ...] = ()
    during: tuple[Change, ...] = ()
    sees: tuple[str, ...] = ()
    row: str | None = None
    block: str = ""


@dataclass(frozen=True, slots=True)
class StaysOpen:
    """A part that must not be shut, and why."""

    id: str
    why: str


@dataclass(frozen=True, slots=True)
class Procedure:
    """A whole list for one season; ``warnings`` say what it rests on and lacks."""

    season: Season
    steps: tuple[Step, ...]
    stays_open: tuple[StaysOpen, ...] = ()
    warnings: tuple[Warning, ...] = ()

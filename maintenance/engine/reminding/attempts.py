"""What becomes of a message after an attempt to deliver it."""

from dataclasses import dataclass
from typing import Final, Literal

OutcomeKind = Literal["accepted", "refused", "refused_for_good", "unknown"]
State = Literal["due", "sent", "uncertain", "failed"]

FIRST_WAIT_S: Final = 30
LONGEST_WAIT_S: Final = 900
GIVE_UP_S: Final = 7 * 24 * 3600
"""After a week of refusals a reminder has failed (project choice)."""
MOST_RESENDS: Final = 1
"""One more attempt where nobody knows whether the first one arrived (reference 8, 2.4)."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """How an attempt ended, as the channel tells it.

    ``unknown`` is a reply that never came: the message may have been taken.
    """

    kind: OutcomeKind
    error: str = ""
    provider_id: str = ""


@dataclass(frozen=True, slots=True)
class Settled:
    """The next state, how long to wait before another attempt [s], and why."""

    state: State
    wait_s: int = 0
    why: str = ""
    doubled: bool = False


def wait_after(attempts: int) -> int:
    """Return how long to wait after so many attempts.

    Parameters
    ----------
    attempts : int
        Attempts so far, from 1 [-].

    Returns
    -------
    int
        30 s, doubled each time, at most 900 s [s].

    Examples
    --------
    >>> [wait_after(n) for n in (1, 2, 6, 1000)]
    [30, 60, 900, 900]
    """
    doubled: int = 2 ** min(10, max(0, attempts - 1))
    return min(LONGEST_WAIT_S, FIRST_WAIT_S * doubled)


def settle(
    outcome: Outcome, *, attempts: int, late_s: float, knows_keys: bool, resends: int
) -> Settled:
    """Decide what becomes of a message.

    Parameters
    ----------
    outcome : Outcome
        How the attempt ended [-].
    attempts : int
        Attempts so far, this one with them [-].
    late_s : float
        How long past its time it is [s].
    knows_keys : bool
        Whether the channel takes the same key only once [-].
    resends : int
        How often it was sent again without anyone knowing whether it arrived [-].

    Returns
    -------
    Settled
        The next state [-].

    Notes
    -----
    A channel that knows keys is simply told again. One that neither knows them nor can
    be asked is told once more, since a duty to tell weighs more than a letter too many;
    then a person decides.
    """
    match outcome.kind:
        case "accepted":
            return Settled("sent")
        case "refused_for_good":
            return Settled("failed", why=outcome.error)
        case "unknown" if not knows_keys:
            return unknown(outcome.error, attempts=attempts, resends=resends)
        case _ if late_s > GIVE_UP_S:
            return Settled("failed", why=f"Given up after a week: {outcome.error}")
        case _:
            return Settled("due", wait_after(attempts), outcome.error)


def unknown(error: str, *, attempts: int, resends: int) -> Settled:
    """Decide about a message of which nobody knows whether it was taken.

    Parameters
    ----------
    error : str
        What happened [text].
    attempts : int
        Attempts so far [-].
    resends : int
        How often it was sent again like this [-].

    Returns
    -------
    Settled
        Due once more, and after that uncertain [-].
    """
    if resends < MOST_RESENDS:
        why = f"May have been sent twice: {error}"
        return Settled("due", wait_after(attempts), why, doubled=True)
    return Settled("uncertain", why=f"May or may not have arrived: {error}")

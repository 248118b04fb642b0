"""Whether reminders have fallen silent: a system that is silent must say so."""

from dataclasses import dataclass
from typing import Final

LATE_S: Final = 15 * 60
SILENT_S: Final = 5 * 60
"""Both from reference note 8, section 2.3, step 6."""


@dataclass(frozen=True, slots=True)
class Watch:
    """What the watchdog sees; ``reasons`` are sentences for a person.

    ``silent`` says that messages do not go out. What has failed or is uncertain needs
    a person too, but is no silence.
    """

    silent: bool
    reasons: tuple[str, ...]
    oldest_due_s: float | None
    last_drain_s: float | None
    waiting: int = 0
    failed: int = 0
    uncertain: int = 0
    maybe_twice: int = 0


def judge(
    *,
    anyone: bool,
    oldest_due_s: float | None,
    last_drain_s: float | None,
    last_error: str = "",
    waiting: int = 0,
    failed: int = 0,
    uncertain: int = 0,
    maybe_twice: int = 0,
) -> Watch:
    """Judge whether reminders go out.

    Parameters
    ----------
    anyone : bool
        Whether anyone is to be reminded at all [-].
    oldest_due_s : float or None
        How long past its time the oldest waiting message is [s].
    last_drain_s : float or None
        How long ago the outbox was last gone through; None for never [s].
    last_error : str
        What the last refusal said [text].
    waiting, failed, uncertain, maybe_twice : int
        Counts of messages [-].

    Returns
    -------
    Watch
        Silent where a message is more than 15 min late, or where the outbox was not
        gone through for 5 min although there is someone to remind [-].
    """
    reasons = []
    if oldest_due_s is not None and oldest_due_s > LATE_S:
        told = f"The oldest reminder that waits is {_long(oldest_due_s)} late"
        reasons.append(f"{told}: {last_error}" if last_error else f"{told}.")
    if anyone and last_drain_s is None:
        reasons.append(
            "Nothing has ever looked for reminders to send: run the background work, "
            "or `manage.py send_reminders`."
        )
    elif anyone and last_drain_s is not None and last_drain_s > SILENT_S:
        reasons.append(
            f"Nothing has looked for reminders to send for {_long(last_drain_s)}: see "
            "that the background work runs, or run `manage.py send_reminders`."
        )
    return Watch(
        silent=bool(reasons),
        reasons=tuple(reasons),
        oldest_due_s=oldest_due_s,
        last_drain_s=last_drain_s,
        waiting=waiting,
        failed=failed,
        uncertain=uncertain,
        maybe_twice=maybe_twice,
    )


def _long(seconds: float) -> str:
    minutes = int(seconds // 60)
    for size, unit in ((24 * 60, "day"), (60, "hour")):
        if minutes >= 2 * size:
            return f"{minutes // size} {unit}s"
    return f"{minutes} minute{'' if minutes == 1 else 's'}"

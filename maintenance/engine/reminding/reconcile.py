"""What was found to be due against what is kept: written, ended, or moved."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

Ended = Literal["done", "withdrawn"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One thing that is due, found again by its kind and what it is about.

    ``last_done_on`` is the day that the date was counted from, where it was.
    """

    kind: str
    about: str
    due_on: date
    what: str
    why: str
    zone: str
    site: int | None = None
    address: str = ""
    last_done_on: date | None = None

    @property
    def place(self) -> tuple[str, str]:
        """What it is found again by [text]."""
        return self.kind, self.about


@dataclass(frozen=True, slots=True)
class Kept:
    """An open obligation as it was kept, with its row's id."""

    id: int
    found: Found


@dataclass(frozen=True, slots=True)
class Changes:
    """What has to be written.

    ``ended`` holds ids with their word and its reason; ``new`` what is not kept yet,
    and whether it only takes the place of an earlier date that it puts off.
    """

    new: list[tuple[Found, bool]] = field(default_factory=list)
    reworded: list[tuple[int, Found]] = field(default_factory=list)
    ended: list[tuple[int, Ended, str]] = field(default_factory=list)


def reconcile(
    kept: Iterable[Kept], found: Iterable[Found], done: Iterable[tuple[str, str]] = ()
) -> Changes:
    """Compare what is kept with what is found now.

    Parameters
    ----------
    kept : iterable of Kept
        Open obligations of the kinds that were looked for [-].
    found : iterable of Found
        What is due now [-].
    done : iterable of tuple
        Kinds and abouts known to have been done [text].

    Returns
    -------
    Changes
        What to write so that the open ones are what was found [-].

    Notes
    -----
    A date that moves is a new obligation: what was said about the old one stays as it
    was. It was met where the day that dates are counted from has moved on.
    """
    changes, finished = Changes(), set(done)
    now = {each.place: each for each in found}
    held: set[tuple[str, str]] = set()
    for old in sorted(kept, key=lambda each: (each.found.due_on, each.id)):
        place = old.found.place
        new = now.get(place)
        if new is not None and new.due_on == old.found.due_on and place not in held:
            held.add(place)
            if new != old.found:
                changes.reworded.append((old.id, new))
        elif new is None:
            word: Ended = "done" if place in finished else "withdrawn"
            reason = "done" if word == "done" else "no longer asked for"
            changes.ended.append((old.id, word, reason))
        else:
            changes.ended.append((old.id, *_moved(old.found, new)))
    before = {each.found.place: each.found for each in kept_last(kept)}
    for place, new in now.items():
        if place not in held:
            old_found = before.get(place)
            put_off = (
                old_found is not None
                and new.due_on > old_found.due_on
                and not _met(old_found, new)
            )
            changes.new.append((new, put_off))
    return changes


def kept_last(kept: Iterable[Kept]) -> list[Kept]:
    """Return the obligations in the order of their dates, the last one last.

    Parameters
    ----------
    kept : iterable of Kept
        Open obligations [-].

    Returns
    -------
    list of Kept
        The same, ordered [-].
    """
    return sorted(kept, key=lambda each: (each.found.due_on, each.id))


def _met(old: Found, new: Found) -> bool:
    if new.last_done_on is None:
        return False
    return old.last_done_on is None or new.last_done_on > old.last_done_on


def _moved(old: Found, new: Found) -> tuple[Ended, str]:
    if _met(old, new):
        return "done", f"done on {new.last_done_on}; the next is due on {new.due_on}"
    return "withdrawn", f"moved to {new.due_on}"

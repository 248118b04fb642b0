"""What the events of an assembly say to a rule."""

from collections.abc import Iterable
from dataclasses import dataclass

from maintenance.engine.backflow.due.events import Event, EventKind, in_order
from maintenance.engine.backflow.due.rule import Duty


@dataclass(frozen=True, slots=True)
class History:
    """Events in the order in which they happened, seen from one duty."""

    events: tuple[Event, ...]
    duty: Duty

    @property
    def since_done(self) -> tuple[Event, ...]:
        """What came after the duty was last done; all of it if it never was [events]."""
        last = max(
            (n for n, event in enumerate(self.events) if does(event, self.duty)),
            default=-1,
        )
        return self.events[last + 1 :]

    @property
    def done(self) -> Event | None:
        """The last time that the duty was done [event]."""
        n = len(self.events) - len(self.since_done)
        return self.events[n - 1] if n else None

    @property
    def failed(self) -> Event | None:
        """The last failure, where nothing was passed since [event]."""
        return _last(e for e in self.since_done if e.result == "failed")

    @property
    def repaired(self) -> Event | None:
        """The first repair after that failure [event]."""
        failed = self.failed
        if failed is None:
            return None
        after = self.events[self.events.index(failed) + 1 :]
        return next((event for event in after if event.kind == "repaired"), None)

    @property
    def removed(self) -> Event | None:
        """The removal, where the assembly was not put back since [event]."""
        moved = _last(e for e in self.events if e.kind in ("removed", "reinstalled"))
        return moved if moved and moved.kind == "removed" else None

    def last(self, kind: EventKind) -> Event | None:
        """Return the last event of a kind.

        Parameters
        ----------
        kind : str
            The kind [text].

        Returns
        -------
        Event or None
            None where there is none [event].
        """
        return _last(event for event in self.events if event.kind == kind)

    def done_since(self, earlier: Event) -> Event | None:
        """Return when the duty was done after an event.

        Parameters
        ----------
        earlier : Event
            One of the events [event].

        Returns
        -------
        Event or None
            The last time; None where it was not done since [event].
        """
        after = self.events[self.events.index(earlier) + 1 :]
        return _last(event for event in after if does(event, self.duty))


def history_of(events: Iterable[Event], duty: Duty) -> History:
    """Put events in order for one duty.

    Parameters
    ----------
    events : iterable of Event
        In any order; those of one day in the order in which they happened [events].
    duty : str
        ``test``, ``inspection`` or ``overhaul`` [text].

    Returns
    -------
    History
        The events as the duty sees them [-].
    """
    return History(in_order(events), duty)


def does(event: Event, duty: Duty) -> bool:
    """Whether an event does a duty: only a pass does, and an overhaul by itself.

    Parameters
    ----------
    event : Event
        What happened [event].
    duty : str
        ``test``, ``inspection`` or ``overhaul`` [text].

    Returns
    -------
    bool
        An inspection without a result counts; a test never does [-].
    """
    match duty:
        case "overhaul":
            return event.kind == "overhauled"
        case "inspection" if event.kind == "inspected":
            return event.result in (None, "passed")
        case _:
            return event.kind == "tested" and event.result == "passed"


def _last(events: Iterable[Event]) -> Event | None:
    found = None
    for event in events:
        found = event
    return found

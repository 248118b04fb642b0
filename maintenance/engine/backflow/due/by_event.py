"""Rules on what happens to an assembly: moved, repaired, idle, turned on."""

from datetime import date
from typing import Final

from maintenance.engine.backflow.due.answer import DONE_WORDS, Answer, State
from maintenance.engine.backflow.due.deadline import deadline_after
from maintenance.engine.backflow.due.events import Event
from maintenance.engine.backflow.due.history import History
from maintenance.engine.backflow.due.rule import AfterEvent, Rule
from maintenance.engine.calendar.anchors import Period, occurrence
from maintenance.engine.calendar.business_days import Holidays

EVENT_WORDS: Final[dict[AfterEvent, str]] = {
    "installed": "installed",
    "repaired": "repaired",
    "relocated": "moved to another place",
    "removed": "removed",
    "reinstalled": "reinstalled",
    "frozen": "frozen",
    "incident": "in a backflow incident",
}
_A_YEAR: Final = Period(1, "years")


def after_event(rule: Rule, history: History, holidays: Holidays) -> Answer:
    """Answer for a rule on something that happened.

    Parameters
    ----------
    rule : Rule
        With one of `AFTER_EVENT` as its trigger [-].
    history : History
        The events [-].
    holidays : container of date
        For a wait counted in business days [dates].

    Returns
    -------
    Answer
        Due from the first such event that no pass has followed [date].

    Raises
    ------
    InputError
        If the wait leaves the calendar.
    """
    kind: AfterEvent = rule.trigger  # type: ignore[assignment]
    words = EVENT_WORDS[kind]
    removed = history.removed
    if kind == "reinstalled" and removed is not None:
        return _stored(rule, history, removed)
    pending = next(
        (
            event
            for event in history.since_done
            if event.kind == kind and not _done_while_out(rule, history, event)
        ),
        None,
    )
    if pending is None:
        return Answer("not_required", None, _nothing(rule, history, words))
    if rule.before_service:
        why = f"{words.capitalize()} on {pending.on}: the {rule.duty} comes before service."
        return Answer("before_service", pending.on, why)
    due, wait = pending.on, ""
    if rule.within is not None:
        due = deadline_after(rule.within, pending.on, None, holidays)
        wait = f" within {rule.within.words}"
    why = f"{words.capitalize()} on {pending.on}, which asks for {_a(rule.duty)}{wait}."
    return Answer("due", due, why)


def _stored(rule: Rule, history: History, removed: Event) -> Answer:
    if rule.before_service and (done := history.done_since(removed)):
        why = f"Removed on {removed.on} and {DONE_WORDS[rule.duty]} on {done.on}."
        return Answer("not_required", None, why)
    when = "before it is" if rule.before_service else "when it is"
    why = f"Removed on {removed.on}: {_a(rule.duty)} is due {when} reinstalled."
    return Answer("before_service", None, why)


def _done_while_out(rule: Rule, history: History, back: Event) -> bool:
    if not rule.before_service or rule.trigger != "reinstalled":
        return False
    earlier = history.events[: history.events.index(back)]
    out = [event for event in earlier if event.kind == "removed"]
    return bool(out) and history.done_since(out[-1]) is not None


def _nothing(rule: Rule, history: History, words: str) -> str:
    done = history.done
    if done is None:
        return f"Not on record as {words}: nothing asks for {_a(rule.duty)}."
    since = f"since it was {DONE_WORDS[rule.duty]} on {done.on}"
    if rule.duty == "test":
        since = f"since it passed on {done.on}"
    return f"Not {words} {since}: nothing asks for {_a(rule.duty)}."


def turned_on(rule: Rule, history: History, today: date | None) -> Answer:
    """Answer for a rule on turning the water on for the season.

    Parameters
    ----------
    rule : Rule
        With ``before_service`` where the test must come first [-].
    history : History
        The events [-].
    today : date or None
        Date at the site [date].

    Returns
    -------
    Answer
        Due on the day on which it was turned on, if no pass lies in the same calendar
        year (project choice); not required where it was not turned on [date].
    """
    year, done = today.year if today else None, history.done
    on = next(
        (
            event
            for event in reversed(history.events)
            if event.kind == "in_service" and year in (None, event.on.year)
        ),
        None,
    )
    if on is None:
        return _not_turned_on(rule, done, year)
    if done is not None and done.on.year >= on.on.year:
        why = f"Turned on on {on.on}, and passed on {done.on}."
        return Answer("not_required", None, why)
    state: State = "before_service" if rule.before_service else "due"
    before = "before" if rule.before_service else "when"
    return Answer(
        state, on.on, f"Due {before} it is turned on for the season, {on.on}."
    )


def _not_turned_on(rule: Rule, done: Event | None, year: int | None) -> Answer:
    when = f"in {year}" if year else "so far as is on record"
    if rule.before_service and (done is None or done.on.year != year):
        why = f"Not turned on {when}: the {rule.duty} comes before that."
        return Answer("before_service", None, why)
    why = f"Not turned on {when}: not used, so no {rule.duty} is asked for."
    return Answer("not_required", None, why)


def idle(rule: Rule, history: History, today: date | None) -> Answer:
    """Answer for a rule on a return to service after a time without use.

    Parameters
    ----------
    rule : Rule
        With the period that it may be idle [-].
    history : History
        The events [-].
    today : date or None
        Date at the site [date].

    Returns
    -------
    Answer
        Before service once it was idle for longer, unless passed since then [date].

    Raises
    ------
    InputError
        If the date leaves the calendar.
    """
    used = history.last("last_used")
    if used is None:
        return Answer("not_required", None, "No last day of use is on record.")
    period = rule.period or _A_YEAR
    limit = occurrence(used.on, period, 1)
    back = history.last("in_service")
    back_on = back.on if back and back.on >= used.on else None
    idle_at = back_on or today
    if idle_at is not None and idle_at <= limit:
        why = f"Last used on {used.on}, not idle for more than {period.words}."
        return Answer("not_required", None, why)
    if history.done and history.done.on > limit:
        why = f"Idle from {used.on}, and passed on {history.done.on}."
        return Answer("not_required", None, why)
    gone = f"Last used on {used.on}; idle for more than {period.words} after {limit}"
    return Answer(
        "before_service", back_on, f"{gone}: due before it returns to service."
    )


def _a(word: str) -> str:
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"

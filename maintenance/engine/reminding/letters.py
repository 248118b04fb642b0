"""What a reminder says: a letter for a person, a signed request for a program."""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from maintenance.engine.reminding.steps import step_words

_CAUTION: Final = (
    "Dates follow from what was entered; the rules of your place and the authority "
    "there decide."
)
_LONGEST_SUBJECT: Final = 150


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter to one person; the same key gives the same letter at each attempt."""

    key: str
    to: str
    name: str
    subject: str
    text: str
    stop_address: str

    @property
    def body_hash(self) -> str:
        """What tells one text from another [hex]."""
        return hashlib.sha256(f"{self.subject}\n{self.text}".encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class HookCall:
    """A request to an address that an account has given."""

    key: str
    url: str
    secret: str
    body: str

    @property
    def body_hash(self) -> str:
        """What tells one body from another [hex]."""
        return hashlib.sha256(self.body.encode()).hexdigest()


Delivery = Letter | HookCall


@dataclass(frozen=True, slots=True)
class Item:
    """One thing to be reminded of, in words; ``address`` is its page."""

    what: str
    kind: str
    due_on: date
    step: int
    why: str = ""
    site: str = ""
    address: str = ""


@dataclass(frozen=True, slots=True)
class Envelope:
    """To whom a letter goes, the addresses that stand in it, and a sentence of its own."""

    key: str
    to: str
    name: str
    stop_address: str
    all_address: str
    note: str = ""


def day_words(day: date) -> str:
    """Return a date as people write it.

    Parameters
    ----------
    day : date
        The date [date].

    Returns
    -------
    str
        Such as "Sun 4 October 2026" [text].
    """
    return f"{day:%a} {day.day} {day:%B %Y}"


def one_line(text: str) -> str:
    r"""Return a text on one line: no line of it may become a header of its own.

    Parameters
    ----------
    text : str
        Any text [text].

    Returns
    -------
    str
        Without line ends and signs that cannot be seen [text].

    Examples
    --------
    >>> one_line("Test\r\nBcc: all@example.org")
    'Test Bcc: all@example.org'
    """
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def letter_about(item: Item, envelope: Envelope) -> Letter:
    """Write the letter of one reminder.

    Parameters
    ----------
    item : Item
        What is due [-].
    envelope : Envelope
        To whom it goes [-].

    Returns
    -------
    Letter
        It names dates and never "today", so that it stays true when it comes late [-].
    """
    head = "Overdue since" if item.step < 0 else "Due"
    told = [
        item.what,
        "",
        *([f"Site: {item.site}"] if item.site else []),
        f"{head}: {day_words(item.due_on)}",
        *([f"Why: {item.why}"] if item.why else []),
        *([f"Page: {item.address}"] if item.address else []),
        "",
        f"This is the reminder {step_words(item.step)}.",
    ]
    if envelope.note:
        told.append(one_line(envelope.note))
    subject = f"{head} {item.due_on.day} {item.due_on:%b %Y}: {item.what}"
    if item.site:
        subject += f", {item.site}"
    return _letter(envelope, subject, told)


def digest_of(day: date, items: Sequence[Item], envelope: Envelope) -> Letter:
    """Write the letter of a day for one who wants one a day.

    Parameters
    ----------
    day : date
        The day [date].
    items : sequence of Item
        What to be reminded of [-].
    envelope : Envelope
        To whom it goes [-].

    Returns
    -------
    Letter
        One paragraph for each [-].
    """
    told: list[str] = []
    for item in sorted(items, key=lambda each: (each.due_on, each.what)):
        head = "Overdue since" if item.step < 0 else "Due"
        told.append(f"{head} {day_words(item.due_on)}: {item.what}")
        told += [f"  {text}" for text in (item.site, item.why, item.address) if text]
        told.append("")
    count = f"{len(items)} thing{'' if len(items) == 1 else 's'}"
    return _letter(envelope, f"Reminders of {day.day} {day:%b %Y}: {count}", told[:-1])


def test_letter(envelope: Envelope) -> Letter:
    """Write a letter that only shows that letters arrive.

    Parameters
    ----------
    envelope : Envelope
        To whom it goes [-].

    Returns
    -------
    Letter
        The letter [-].
    """
    told = ["This letter was asked for on the page of the people who are reminded."]
    told += ["If you read it, reminders reach you at this address."]
    return _letter(envelope, "A test: reminders reach you", told)


test_letter.__test__ = False  # type: ignore[attr-defined]  # not a case for pytest


def hook_body(item: Item, *, key: str) -> str:
    """Write the body of a request.

    Parameters
    ----------
    item : Item
        What is due [-].
    key : str
        The key of the message [text].

    Returns
    -------
    str
        JSON, the same at each attempt [text].
    """
    data = {
        "key": key,
        "kind": item.kind,
        "what": item.what,
        "site": item.site,
        "due_on": item.due_on.isoformat(),
        "days_before": item.step,
        "why": item.why,
        "page": item.address,
    }
    return json.dumps({"type": "reminder.due", "data": data}, sort_keys=True)


def _letter(envelope: Envelope, subject: str, told: list[str]) -> Letter:
    text = [
        *told,
        "",
        _CAUTION,
        "",
        "-- ",
        f"Everything that is due: {envelope.all_address}",
        f"To end all reminders to this address: {envelope.stop_address}",
        "",
    ]
    return Letter(
        key=envelope.key,
        to=envelope.to,
        name=one_line(envelope.name),
        subject=one_line(subject)[:_LONGEST_SUBJECT],
        text="\n".join(text),
        stop_address=envelope.stop_address,
    )

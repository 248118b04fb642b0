"""What the pages on reminders share: choices, words, and where to go next."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final
from urllib.parse import urlsplit

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse

from maintenance.engine.reminding.kinds import KINDS
from maintenance.engine.reminding.steps import step_words
from maintenance.services.inventory.queries import sites
from maintenance.services.reminders.people import all_people
from maintenance.services.reminders.queries import Coming, DueRow
from maintenance.web.local_times import local_words

if TYPE_CHECKING:
    from maintenance.models import Account, Message, Obligation

DOORS: Final = (
    ("What is due", "due"),
    ("What will be sent", "reminders_coming"),
    ("What was sent", "reminders_sent"),
    ("Who is reminded", "reminded"),
    ("When", "reminder_steps"),
    ("Calendars", "calendars"),
)
STATES: Final = {
    "due": "waits",
    "sending": "is being sent",
    "sent": "sent",
    "uncertain": "uncertain",
    "failed": "failed",
    "cancelled": "cancelled",
    "superseded": "superseded",
}
ENDED: Final = {
    "done": "done",
    "done_elsewhere": "done by someone else",
    "not_required": "not required",
    "withdrawn": "withdrawn",
}
TRIES: Final = {
    "accepted": "taken",
    "refused": "refused",
    "refused_for_good": "refused for good",
    "unknown": "no answer",
    "late": "answered too late",
}
_BACKENDS_TO_NOBODY: Final = ("filebased", "console", "locmem", "dummy")


@dataclass(frozen=True, slots=True)
class SentLine:
    """A message in words, with its attempts."""

    row: "Message"
    state: str
    to: str
    about: str
    step: str
    at: str
    tries: tuple[tuple[str, str, str], ...]
    again: bool


def doors(request: HttpRequest) -> list[tuple[str, str, bool]]:
    """Return the pages on reminders with their addresses, and which one this is."""
    return [
        (name, address, request.path == address)
        for name, address in ((name, reverse(route)) for name, route in DOORS)
    ]


def site_choices(account: "Account") -> list[tuple[str, str]]:
    """Return the sites that can be chosen."""
    return [(line.key, line.name) for line in sites(account)]


def person_choices(account: "Account", but: int | None = None) -> list[tuple[str, str]]:
    """Return the people that can be chosen."""
    return [(str(row.pk), row.name) for row in all_people(account) if row.pk != but]


def days_words(line: DueRow) -> str:
    """Say how long it is until a day, or since."""
    days = line.days
    if days == 0:
        return "today"
    count = f"{abs(days)} day{'' if abs(days) == 1 else 's'}"
    return f"in {count}" if days > 0 else f"by {count}"


def kind_words(row: "Obligation") -> str:
    """Return what people call the kind."""
    return KINDS[row.kind]


def coming_words(each: Coming) -> tuple[str, str, str]:
    """Return when a reminder goes out, how, and which one it is."""
    planned = each.planned
    zone = planned.reader.zone or planned.owed.zone
    how = {
        "email": "letter",
        "digest": "in the letter of the day",
        "webhook": "request",
    }
    return (
        f"{local_words(planned.send_at, zone)} {_place(zone)}",
        how[planned.reader.channel],
        step_words(planned.step),
    )


def sent_line(row: "Message") -> SentLine:
    """Put a message into words."""
    zone = row.obligation.time_zone if row.obligation else "UTC"
    if row.recipient and row.recipient.time_zone:
        zone = row.recipient.time_zone
    to = row.recipient.name if row.recipient else host_of(row)
    return SentLine(
        row,
        STATES[row.state],
        to,
        row.obligation.what if row.obligation else _own(row),
        step_words(row.step) if row.obligation else "",
        f"{local_words(row.send_at, zone)} {_place(zone)}",
        tuple(
            (local_words(each.at, zone), TRIES.get(each.ended, each.ended), each.error)
            for each in row.tries.all()
        ),
        row.state in ("failed", "uncertain"),
    )


@dataclass(slots=True)
class ComingLine:
    """What goes out at once to one reader: a letter of the day may tell of much."""

    at: str
    how: str
    to: str
    instead_of: str
    things: list[tuple[Coming, str]]


def coming_lines(rows: Sequence[Coming]) -> list[ComingLine]:
    """Put what will be sent into words, a letter of the day on one line."""
    lines: list[ComingLine] = []
    letters: dict[object, ComingLine] = {}
    for each in rows:
        at, how, step = coming_words(each)
        planned = each.planned
        place = (planned.send_at, planned.reader.id)
        if planned.reader.channel == "digest" and place in letters:
            letters[place].things.append((each, step))
            continue
        line = ComingLine(at, how, each.to, each.instead_of, [(each, step)])
        lines.append(line)
        if planned.reader.channel == "digest":
            letters[place] = line
    return lines


def host_of(row: "Message") -> str:
    """Return the host of the address that a message goes to."""
    return (urlsplit(row.webhook.url).hostname or "") if row.webhook else ""


def reaches_nobody() -> str:
    """Say where letters go instead of to people; empty where they go out."""
    backend = settings.EMAIL_BACKEND
    if not any(name in backend for name in _BACKENDS_TO_NOBODY):
        return ""
    if "filebased" in backend:
        folder = getattr(settings, "EMAIL_FILE_PATH", "the data folder")
        return (
            f"No mail server is set: letters are written to files in "
            f"{folder} and reach nobody. Set EMAIL_URL to send them."
        )
    return "No mail server is set: letters reach nobody. Set EMAIL_URL to send them."


def _own(row: "Message") -> str:
    return "Letter of the day" if row.channel == "digest" else "A test"


def _place(zone: str) -> str:
    return "" if zone == "UTC" else f"({zone.rpartition('/')[2].replace('_', ' ')})"

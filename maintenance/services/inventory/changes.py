"""What happened to a site, told from the history of its tables."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import chain
from typing import Any, Literal

from maintenance.models import Account, Controller, Link, Point, Zone
from maintenance.models.sites import Site as SiteRow
from maintenance.services.inventory.claims import get_row

What = Literal["added", "changed", "retired", "restored"]


@dataclass(frozen=True, slots=True)
class HistoryLine:
    """One change: when, what, to which part (empty for the site) and in which way."""

    when: datetime
    what: What
    part: str
    text: str
    actor: str = ""


def site_history(
    account: Account, *, key: str, hidden: Collection[str] = ()
) -> list[HistoryLine]:
    """Return all changes of a site and its parts, newest first, in six queries.

    The parts that came with the site are one line, not hundreds. What stands at a
    hidden place of the site's record is not told.
    """
    row = get_row(SiteRow, account, key)
    own = list(_lines(SiteRow, hidden, id=row.pk))
    parts = list(
        chain.from_iterable(
            _lines(model, (), site_id=row.pk)
            for model in (Point, Link, Zone, Controller)
        )
    )
    begun = [line.when for line in own if line.what == "added"]
    came_along = [line for line in parts if line.what == "added" and line.when in begun]
    others = [line for line in parts if line.what != "added" or line.when not in begun]
    lines = [
        replace(line, part="", text=_beginning(came_along) or line.text)
        if line.what == "added"
        else replace(line, part="")
        for line in own
        # The site's version also changes with its parts: that tells nothing.
        if line.what != "changed" or line.text
    ]
    return sorted(lines + others, key=lambda line: line.when, reverse=True)


def _beginning(parts: list[HistoryLine]) -> str:
    return f"with {len(parts)} parts" if parts else ""


def _lines(model: Any, hidden: Collection[str], **where: int) -> Iterator[HistoryLine]:
    """Tell the entries of one table, oldest first."""
    before: dict[int, Any] = {}
    for entry in model.history.filter(**where).order_by("history_date", "history_id"):
        old = before.get(entry.id)
        before[entry.id] = entry
        yield HistoryLine(
            when=entry.history_date,
            what=_what(old, entry),
            part=entry.key,
            text=_difference(old.record, entry.record, hidden) if old else "",
            actor=entry.actor,
        )


def _what(old: Any, entry: Any) -> What:
    if old is None:
        return "added"
    if (old.retired_at is None) == (entry.retired_at is None):
        return "changed"
    return "retired" if entry.retired_at else "restored"


def _difference(
    old: dict[str, Any], new: dict[str, Any], hidden: Collection[str]
) -> str:
    """Say what changed between two records, key by key."""
    before, after = dict(_leaves(old)), dict(_leaves(new))
    said = []
    for key in dict.fromkeys([*before, *after]):
        if key in hidden:
            continue
        if key not in after:
            said.append(f"{key} {before[key]} taken out")
        elif key not in before:
            said.append(f"{key} {after[key]} put in")
        elif before[key] != after[key]:
            said.append(f"{key} {before[key]} became {after[key]}")
    return "; ".join(said)


def _leaves(record: dict[str, Any], path: str = "") -> Iterator[tuple[str, str]]:
    for key, value in record.items():
        # A quantity with its origin is one thing to read.
        if isinstance(value, dict) and value.keys() != {"value", "origin"}:
            yield from _leaves(value, f"{path}{key}.")
        elif isinstance(value, dict):
            yield f"{path}{key}", f"{value['value']} ({value['origin']})"
        elif isinstance(value, list):
            yield f"{path}{key}", ", ".join(str(item) for item in value) or "nothing"
        else:
            yield f"{path}{key}", str(value)

"""What a job is, beside its row: one piece, what came of it, and who does the pieces."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Final

from maintenance.models import Account

PACK: Final = "print_reports"
"""The kind that leaves files behind."""

KINDS: Final = {
    "refresh_outlooks": "Work out all freeze outlooks again",
    "build_lists": "Make the season's lists of all sites",
    PACK: "Print the test reports of a period",
}
"""What can be asked for, in words."""

PIECE_SITES: Final = {"refresh_outlooks": 20, "build_lists": 1, PACK: 1}
"""Sites that are done together: what can be cancelled, or lost, is one piece."""

PRINTED: Final = "reports printed"
"""What the reports of a pack are counted as."""

SCHEDULE: Final = "the schedule"
"""Who asked for a job that nobody asked for."""


@dataclass(frozen=True, slots=True)
class Piece:
    """What came of one piece: counts by name, and sentences for a person."""

    counts: Mapping[str, int] = field(default_factory=dict)
    said: Sequence[str] = ()


Store = Callable[[], Piece]
"""Writes a piece; called in the transaction that also counts it as done."""

Prepare = Callable[[Account, Mapping[str, Any], Sequence[str], datetime], Store]
"""Works a piece out, with no transaction open: account, what was asked, site keys, now.

What was asked tells the number of the job too, as ``job``.
"""


@dataclass(frozen=True, slots=True)
class Claimed:
    """A piece that this worker holds, by its token, until the lease ends."""

    job: int
    token: str
    account: Account
    kind: str
    asked: Mapping[str, Any]
    result: Mapping[str, Any]
    done: int
    sites: Sequence[str]
    last: bool

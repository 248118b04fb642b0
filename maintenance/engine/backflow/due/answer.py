"""What one rule says of a history: a state, a date, and the reason."""

from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from maintenance.engine.backflow.due.rule import Duty

State = Literal["due", "not_required", "before_service"]

DONE_WORDS: Final[dict[Duty, str]] = {
    "test": "passed",
    "inspection": "inspected",
    "overhaul": "overhauled",
}
"""What an assembly was once a duty has been done."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What one rule says; ``due`` is never given where nothing is required."""

    state: State
    due: date | None
    why: str

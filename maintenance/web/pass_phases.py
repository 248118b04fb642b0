"""What the clock beside a step counts: front, passes and rests, one after the other."""

import json
import math
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from typing import Any, Final

from maintenance.engine.procedure.shutdown.row_words import REST_STEP_S
from maintenance.engine.procedure.step import Step

COUNTED: Final = {
    "prove_holding": "Watch, and catch what comes",
    "wait": "Wait",
}
"""Acts whose minutes are a time to wait."""


@dataclass(frozen=True, slots=True)
class Phase:
    """One stretch of time.

    ``press`` names the button that begins it; without one it begins as the one before
    ends. One that counts ``up`` ends only when the next one is begun.
    """

    say: str
    seconds: int
    over: str
    press: str = ""
    air: bool = False
    up: bool = False


def phases_of(step: Step, row: Mapping[str, Any] | None) -> str:
    """Return the phases of a step as JSON for the clock, empty where none counts.

    ``row`` is the step's row in the sheet that the list used.
    """
    phases: list[Phase] = []
    if step.act == "blow" and row:
        phases = list(_of_row(row))
    elif step.act in COUNTED and step.minutes:
        over = "The time is over."
        phases = [Phase(COUNTED[step.act], round(step.minutes * 60), over, "Start")]
    return json.dumps([asdict(phase) for phase in phases]) if phases else ""


def _of_row(row: Mapping[str, Any]) -> Iterable[Phase]:
    """Yield front, passes and rests, rounded as the step's own words are."""
    front = (row["displacement"] or {}).get("time_s")
    if front is not None:
        seconds = math.ceil(front - 1e-9)
        yield Phase(
            f"Air on till the water ends, about {seconds} s",
            seconds,
            f"{seconds} s: about now the water should end.",
            "Start: air on",
            air=True,
            up=True,
        )
    count = len(row["passes"])
    for n, each in enumerate(row["passes"], start=1):
        press = "Start: air on" if n == 1 else f"Start pass {n}"
        if n == 1 and front is not None:
            press = "The water has ended"
        yield Phase(
            f"Pass {n} of {count}: air on",
            math.floor(each["on_s"]),
            f"Pass {n} of {count} is over: air off.",
            press,
            air=True,
        )
        if n < count and each["rest_s"]:
            yield Phase(
                f"Rest before pass {n + 1}: air off",
                round(math.ceil(each["rest_s"] / REST_STEP_S - 1e-9) * REST_STEP_S),
                f"The rest is over: next is pass {n + 1}.",
            )

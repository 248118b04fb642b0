"""What to do about a site before it freezes: wait, shut down, drain what stands out.

This is a planner's advice and no warranty: who is on the spot sees more.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

import numpy as np

from maintenance.engine.climate.alert import Terms, call_now
from maintenance.engine.climate.degrees import Array

Act = Literal["wait", "shut_down", "drain_exposed", "none"]


@dataclass(frozen=True, slots=True)
class Advice:
    """What to do, by when and why; ``shutdown_by`` is the day by whose end it is done.

    ``days_of_watering_forgone`` is what past seasons would have lost by it [d].
    """

    shutdown_by: date | None
    act: Act
    reason: str
    days_of_watering_forgone: float | None = None


def advise(
    today: date,
    terms: Terms,
    chances: Array | None,
    planning: date | None,
    tonight: tuple[str, ...],
) -> Advice:
    """Say what to do about a site today.

    Parameters
    ----------
    today : date
        At the site. [-]
    terms : Terms
        Crew days and the chance to act at. [-]
    chances : ndarray or None
        Of the worst part at leads 1 to 7; None without a forecast to trust. [-]
    planning : date or None
        Day before which the first damaging freeze comes in one year of ten. [-]
    tonight : tuple of str
        Parts in which ice may form within a day. [-]

    Returns
    -------
    Advice
        Without the days forgone, which need a record. [-]
    """
    if tonight:
        return Advice(today, "drain_exposed", _tonight_reason(tonight))
    if chances is not None and np.isfinite(chances).any():
        return _by_forecast(today, terms, chances, planning)
    if planning is None:
        text = "Nothing is known of the weather: give a daily record or a forecast."
        return Advice(None, "none", text)
    last_call = planning - timedelta(days=terms.crew_days)
    told = (
        f"There is no forecast to go by. By the record a damaging freeze comes before "
        f"{planning:%-d %b} in one year of ten"
    )
    if today >= last_call:
        act: Act = "shut_down"
        text = f"{told}, and the crew needs {_days(terms.crew_days)}."
    else:
        act, text = "wait", f"{told}: call the crew by {last_call:%-d %b}."
    return Advice(max(today, planning), act, text)


def _by_forecast(
    today: date, terms: Terms, chances: Array, planning: date | None
) -> Advice:
    known = int(np.flatnonzero(np.isfinite(chances))[-1]) + 1
    cold = np.flatnonzero(np.nan_to_num(chances) >= terms.act_at)
    if call_now(chances, terms):
        lead = int(cold[0]) + 1
        text = (
            f"Last chance for planned work: {_chance(chances[lead - 1])} % for a "
            f"damaging night {_when(lead)}, the crew needs {_days(terms.crew_days)}, "
            f"and acting pays from {_chance(terms.act_at)} %."
        )
        return Advice(today + timedelta(days=lead - 1), "shut_down", text)
    if cold.size:
        lead = int(cold[0]) + 1
        call = today + timedelta(days=lead - 1 - terms.crew_days)
        text = (
            f"{_chance(chances[lead - 1])} % for a damaging night {_when(lead)}; the "
            f"crew can still wait. Call it by {call:%-d %b} unless the forecast turns."
        )
        return Advice(today + timedelta(days=lead - 1), "wait", text)
    worst = float(np.nanmax(chances))
    text = (
        f"No night of the next {_days(known)} reaches the chance to act at "
        f"({_chance(worst)} % at most, acting pays from {_chance(terms.act_at)} %)."
    )
    quiet = today + timedelta(days=known)
    return Advice(None if planning is None else max(planning, quiet), "wait", text)


def _tonight_reason(parts: tuple[str, ...]) -> str:
    named = ", ".join(parts[:6])
    more = f" and {len(parts) - 6} more" if len(parts) > 6 else ""
    return (
        f"Ice may form within a day in {named}{more}: drain or cover these before "
        "night, and call the crew to shut the rest down."
    )


def _chance(chance: float) -> str:
    percent = 100.0 * float(chance)
    return "under 1" if 0.0 < percent < 1.0 else f"{percent:.0f}"


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"


def _when(lead: int) -> str:
    return "within a day" if lead == 1 else f"{lead - 1} to {lead} days from now"

"""How near a damaging freeze is: the alert levels of a part.

Levels: 0 calm, 1 watch, 2 act (the last chance for planned work), 3 ice tonight,
4 damage possible tonight.
"""

from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from maintenance.engine.climate.advice import (
    chance_at_or_below,
    chance_worth_acting_on,
    is_last_chance,
)
from maintenance.engine.climate.degrees import Array
from maintenance.engine.climate.forecast import LEADS
from maintenance.engine.climate.forecast_errors import ForecastErrors
from maintenance.engine.errors import InputError

CREW_DAYS: Final = 2
"""Days from calling a crew to the work done [d]; common practice, no source."""

ACT_AT: Final = 0.10
"""Chance of a damaging night from which on to act, where nobody has stated value and
cost [-]: the default of this project, tried on three records (see `backtest`)."""

CREW_ASSUMED: Final = f"how soon the crew comes ({CREW_DAYS} days)"
WORTH_ASSUMED: Final = (
    f"what a day of watering and damage are worth (acting from {100 * ACT_AT:.0f} %)"
)

MOST_CREW_DAYS: Final = LEADS - 1
"""A crew that takes longer works after the last night that a forecast reaches [d]."""

WATCH_AT: Final = 0.05
CALM_BELOW: Final = 0.02
"""Chance that begins a watch, and below which it ends [-]; project choice."""

WATCH_BEFORE: Final = timedelta(days=14)
"""How long before the planning date the watch begins; project choice."""

ICE_FORMS: Final = 0.01
DAMAGE_POSSIBLE: Final = 0.5
"""Shares of the water that is ice [-]; assumed, nobody publishes them for such parts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What the person states, or the marked defaults: days, and a chance [-].

    ``assumed`` names what nobody stated.
    """

    crew_days: int = CREW_DAYS
    act_at: float = ACT_AT
    assumed: tuple[str, ...] = (CREW_ASSUMED, WORTH_ASSUMED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What is known of one part.

    ``chances`` of a damaging night at leads 1 to 7, NaN where unknown, None without a
    forecast [-]; the share of ice tonight by the forecast and by one a standard
    deviation colder, None where unknown [-]; whether its planning date is near.
    """

    chances: Array | None = None
    ice: float | None = None
    ice_colder: float | None = None
    date_near: bool = False


@dataclass(frozen=True, slots=True)
class Alert:
    """The level shown, and the one that the last forecast gave by itself."""

    level: int
    found: int


def stated_terms(
    crew_days: int | None, worth: tuple[float, float, float] | None
) -> Terms:
    """Return terms from what a person states, defaults for the rest.

    Parameters
    ----------
    crew_days : int or None
        From the call to the work done. [d]
    worth : tuple of float or None
        Value of a day of watering, cost of damage, share of it that somebody who
        hurries out still prevents. [money, money, -]

    Returns
    -------
    Terms
        With what was not stated. [-]

    Raises
    ------
    InputError
        If a number is not possible.
    """
    if crew_days is not None and not 0 <= crew_days <= MOST_CREW_DAYS:
        raise InputError(
            f"The crew takes {crew_days} days; write 0 to {MOST_CREW_DAYS}: a forecast "
            "reaches no further",
            low=0,
            high=MOST_CREW_DAYS,
        )
    act_at = ACT_AT if worth is None else chance_worth_acting_on(*worth)
    assumed = [CREW_ASSUMED] if crew_days is None else []
    if worth is None:
        assumed.append(WORTH_ASSUMED)
    days = CREW_DAYS if crew_days is None else crew_days
    return Terms(crew_days=days, act_at=act_at, assumed=tuple(assumed))


def lead_chances(coldest_k: Array, threshold_k: float, errors: ForecastErrors) -> Array:
    """Return the chances of a damaging night at each lead.

    Parameters
    ----------
    coldest_k : ndarray
        What the forecast gives at leads 1 to 7, NaN where unknown. [K]
    threshold_k : float
        At or below it the part may come to harm. [K]
    errors : ForecastErrors
        Of a forecast of this age. [K]

    Returns
    -------
    ndarray
        Chances, NaN where unknown. [-]
    """
    return chance_at_or_below(
        coldest_k, threshold_k, errors.sigma_k, bias_k=errors.bias_k
    )


def alert_level(seen: Seen, terms: Terms, *, watched: bool = False) -> int:
    """Return the level that a part is at by one forecast alone.

    Parameters
    ----------
    seen : Seen
        What is known. [-]
    terms : Terms
        Crew days and the chance to act at. [-]
    watched : bool
        Whether it stood at 1 or more before: then the watch ends only below
        `CALM_BELOW`. [-]

    Returns
    -------
    int
        0 to 4. [-]

    Notes
    -----
    What is unknown raises nothing: say beside the level what is unknown.
    """
    ice = seen.ice or 0.0
    colder = max(ice, seen.ice_colder or 0.0)
    if ice >= DAMAGE_POSSIBLE:
        return 4
    if colder >= ICE_FORMS:
        return 3
    if seen.chances is not None and call_now(seen.chances, terms):
        return 2
    from_chance = CALM_BELOW if watched else WATCH_AT
    if seen.date_near or (
        seen.chances is not None and is_last_chance(seen.chances, from_chance)
    ):
        return 1
    return 0


def call_now(chances: Array, terms: Terms) -> bool:
    """Tell whether planned work must be called now, by the last-chance rule.

    Parameters
    ----------
    chances : ndarray
        At leads 1 to 7, NaN where unknown. [-]
    terms : Terms
        Crew days and the chance to act at. [-]

    Returns
    -------
    bool
        True where a night at leads 1 to crew days + 1 reaches the chance. [-]
    """
    return bool(is_last_chance(chances[: terms.crew_days + 1], terms.act_at))


def next_alert(before: Alert | None, found: int) -> Alert:
    """Go on from the level shown: up at once, down after two forecasts in a row.

    Parameters
    ----------
    before : Alert or None
        What was shown, None for the first time. [-]
    found : int
        Level by the new forecast alone. [-]

    Returns
    -------
    Alert
        What is shown now. [-]

    Examples
    --------
    >>> first = next_alert(Alert(3, 3), 1)
    >>> first.level, next_alert(first, 0).level
    (3, 1)
    """
    if before is None or found >= before.level:
        return Alert(found, found)
    if before.found < before.level:
        return Alert(max(found, before.found), found)
    return Alert(before.level, found)

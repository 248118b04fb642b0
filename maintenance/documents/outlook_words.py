"""A freeze outlook in words: its level, the advice in two sentences, what it rests on."""

from dataclasses import dataclass
from typing import Final

from maintenance.documents.outlook_dates import day_words
from maintenance.documents.outlook_units import in_units
from maintenance.engine.climate.outlook import Act, Advice
from maintenance.engine.climate.site_outlook import PartOutlook, SiteOutlook
from maintenance.engine.climate.spring_start import SpringStart
from maintenance.engine.units import UnitSystem

LEVELS: Final = (
    "calm",
    "watch",
    "act",
    "ice tonight",
    "damage possible tonight",
)
NOT_KNOWN: Final = "not known"
LEVEL_MEANS: Final = (
    "calm: wait",
    "watch: cold may come, have the crew ready",
    "act: the last chance for planned work",
    "ice tonight: ice may form within a day, drain or cover",
    "damage possible tonight: half of the water may be ice within a day",
)
CAUTION: Final = (
    "A forecast can be wrong, and hollows are colder than stations: look at the spot. "
    "Relieve the pressure before you open anything. Local codes and licensed practice "
    "come first."
)


@dataclass(frozen=True, slots=True)
class Level:
    """A level as a word and the name of its shape; nothing known is not calm."""

    mark: str
    word: str


def level_words(level: int, *, known: bool = True) -> Level:
    """Return the word of a level; 0 without anything known is not calm.

    Examples
    --------
    >>> level_words(3), level_words(0, known=False).word
    (Level(mark='3', word='ice tonight'), 'not known')
    """
    if level == 0 and not known:
        return Level("unknown", NOT_KNOWN)
    return Level(str(level), LEVELS[level])


def part_level(each: PartOutlook) -> Level:
    """Return the level of a part; where neither dates nor chances are known, say so."""
    known = each.dates is not None or each.chances is not None
    return level_words(each.alert.level, known=known)


def site_level(found: SiteOutlook) -> Level:
    """Return the highest level of the parts."""
    level = max((each.alert.level for each in found.parts), default=0)
    known = bool(found.parts) and (found.trusted or found.dates is not None)
    return level_words(level, known=known)


def answer_words(found: SiteOutlook, system: UnitSystem) -> str:
    """Give the advice: what to do by when, then why."""
    reason = in_units(found.advice.reason, system)
    return f"{_deed(found.advice)} {reason}"


def spring_answer(spring: SpringStart) -> str:
    """Say when to fill, and what decides it.

    Examples
    --------
    >>> spring_answer(SpringStart(earliest=None, conditions=()))
    'It cannot be told yet when to fill.'
    """
    if spring.earliest is None:
        lacking = [_ASKED[e.name] for e in spring.conditions if e.holds is None]
        if not lacking:
            return "It cannot be told yet when to fill."
        return f"It cannot be told when to fill: of {' and '.join(lacking)} too little is known."
    if spring.holds:
        return "By the record and the forecast the site may be filled from today on."
    deciding = [_ASKED[e.name] for e in spring.conditions if e.since == spring.earliest]
    if not deciding:
        return f"Do not fill before {day_words(spring.earliest)}."
    return (
        f"Do not fill before {day_words(spring.earliest)}. It is the day that "
        f"{' and '.join(deciding)} ask for."
    )


def short_advice(act: str, by: str) -> str:
    """Say in a few words what to do, for a list of sites.

    Examples
    --------
    >>> short_advice("shut_down", "Wed 7 Oct 2026"), short_advice("wait", "")
    ('shut down by Wed 7 Oct 2026', 'wait')
    """
    return {
        "drain_exposed": "drain or cover what stands out, before night",
        "shut_down": f"shut down by {by}" if by else "shut down now",
        "wait": f"wait; shut down by {by}" if by else "wait",
    }.get(act, "no advice")


def age_words(seconds: float) -> str:
    """Write an age in hours, or days where it is old.

    Examples
    --------
    >>> age_words(1800.0), age_words(5 * 3600.0), age_words(400_000.0)
    ('under an hour', '5 hours', '4 days')
    """
    hours = int(seconds // 3600)
    if hours < 1:
        return "under an hour"
    if hours < 48:
        return "1 hour" if hours == 1 else f"{hours} hours"
    return f"{hours // 24} days"


def named(parts: tuple[str, ...], most: int = 4) -> str:
    """Name a few parts and count the rest.

    Examples
    --------
    >>> named(("B1", "Q1")), named(("a", "b", "c", "d", "e", "f"))
    ('B1, Q1', 'a, b, c, d and 2 more')
    """
    more = len(parts) - most
    return ", ".join(parts[:most]) + (f" and {more} more" if more > 0 else "")


_ASKED: Final = {
    "last_freeze": "the last freezes of past springs",
    "soil": "the soil at the pipes",
    "forecast": "the days ahead",
}
_DEEDS: Final[dict[Act, str]] = {
    "drain_exposed": "Drain or cover what stands out, before night.",
    "shut_down": "Shut the site down now.",
    "wait": "Wait.",
    "none": "There is no advice.",
}


def _deed(advice: Advice) -> str:
    by = advice.shutdown_by
    if by is None or advice.act not in ("shut_down", "wait"):
        return _DEEDS[advice.act]
    if advice.act == "wait":
        return f"Wait, and shut the site down by {day_words(by)}."
    return f"Shut the site down by {day_words(by)}."

"""Rules without a place: a plain interval in words."""

import re
from typing import Final

from maintenance.engine.backflow.due.rule import Rule
from maintenance.engine.calendar.anchors import Period

_EVERY: Final = re.compile(r"every ([1-9]\d{0,2}) (month|year)s?", re.ASCII)
_SOURCE: Final = "the interval that was given"
PLAIN_WORDS: Final = ("yearly", "every 6 months", "every 2 years", "even years")
"""How a plain interval may be written; numbers from 1 to 999, odd years too."""


def plain_rule(text: str) -> Rule | None:
    """Read a plain interval.

    Parameters
    ----------
    text : str
        ``yearly``, ``every N months``, ``every N years``, ``even years`` or
        ``odd years`` [text].

    Returns
    -------
    Rule or None
        The rule with the text as its id; None for any other text [-].

    Examples
    --------
    >>> plain_rule("Every 6 months").period.words
    '6 months'
    """
    words = " ".join(text.lower().split())
    if words == "even years":
        return Rule(id=words, trigger="even_years", source=_SOURCE)
    if words == "odd years":
        return Rule(id=words, trigger="odd_years", source=_SOURCE)
    match = _EVERY.fullmatch("every 1 year" if words == "yearly" else words)
    if match is None:
        return None
    period = Period(int(match[1]), "months" if match[2] == "month" else "years")
    return Rule(id=words, trigger="anniversary", period=period, source=_SOURCE)

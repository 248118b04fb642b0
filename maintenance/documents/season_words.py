"""A season's list in words: its name, how far it is, what became of a step."""

from collections import Counter
from collections.abc import Iterable
from typing import Final

from maintenance.engine.procedure.checker import CheckedProcedure
from maintenance.engine.procedure.progress import ZONE_ENDS, ZoneEnd
from maintenance.engine.procedure.step import Season
from maintenance.services.seasons.kept_list import ListHead, WholeList
from maintenance.services.seasons.read_lists import SEASON_NAMES

END_WORDS: Final[dict[ZoneEnd, str]] = {
    "done": "done",
    "partly": "partly",
    "not_found": "not found",
    "skipped": "skipped",
}
"""How a zone ended, in words."""


def season_name(season: Season) -> str:
    """Return a season's name as a heading begins."""
    name = SEASON_NAMES[season]
    return f"{name[0].upper()}{name[1:]}"


def list_title(head: ListHead) -> str:
    """Return how a list is called where its site is named beside it."""
    return f"{season_name(head.season)} {head.year}"


def progress_words(whole: WholeList) -> str:
    """Say how far a list is, in one or two sentences."""
    steps = _steps_words(whole)
    return f"{steps} {_zones_words(whole)}".strip()


def check_words(checked: CheckedProcedure) -> str:
    """Say against how many rules a list was checked, and which it breaks."""
    count = len(checked.checks)
    rules = f"Checked against {count} rules"
    broken = checked.broken
    if not broken:
        return f"{rules}; the list breaks none of them."
    listed = " ".join(f"Step {each.at_step}: {each.text}" for each in broken)
    return f"{rules}; the list breaks {len(broken)}. {listed}"


def counted(number: int, what: str) -> str:
    """Write a number of things.

    Examples
    --------
    >>> counted(1, "step"), counted(3, "zone")
    ('1 step', '3 zones')
    """
    return f"{number} {what}{'' if number == 1 else 's'}"


def listed(texts: Iterable[str]) -> str:
    """Join texts as in a sentence.

    Examples
    --------
    >>> listed(["2 done", "1 partly", "1 skipped"])
    '2 done, 1 partly and 1 skipped'
    """
    *firsts, last = list(texts) or [""]
    return f"{', '.join(firsts)} and {last}" if firsts else last


def _steps_words(whole: WholeList) -> str:
    standing = [line for line in whole.all_steps if not line.gone]
    told = Counter(line.report.outcome for line in standing if line.report)
    total, left = len(standing), len(whole.steps_left)
    if not told:
        return f"None of {counted(total, 'step')} has an outcome yet."
    skipped = f", {told['skipped']} of them skipped" if told["skipped"] else ""
    if not left:
        return f"All {counted(total, 'step')} have an outcome{skipped}."
    return f"{total - left} of {counted(total, 'step')} have an outcome{skipped}."


def _zones_words(whole: WholeList) -> str:
    standing = [zone for zone in whole.all_zones if not zone.gone]
    if not standing:
        return ""
    ends = Counter(zone.outcome for zone in standing if zone.outcome)
    total, left = len(standing), len(whole.zones_left)
    if not ends:
        return f"None of {counted(total, 'zone')} has ended yet."
    words = listed(f"{ends[key]} {END_WORDS[key]}" for key in ZONE_ENDS if ends[key])
    if not left:
        return f"All {counted(total, 'zone')} have ended: {words}."
    return f"{total - left} of {counted(total, 'zone')} have ended: {words}."

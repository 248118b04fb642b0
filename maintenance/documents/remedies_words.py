"""What would help a zone in words, the same on a page and in a terminal."""

from typing import Final

from maintenance.documents.row_words import CLEARS
from maintenance.engine.blowout.remedies import Frontier, Remedy, ZoneHelp
from maintenance.engine.blowout.sheet import RowSheet
from maintenance.engine.blowout.trials import Trial
from maintenance.engine.units import Rounding, UnitSystem, display, parse_quantity

NONE_IS_ENOUGH: Final = "none is enough with this hose"
# What the sentence of a remedy names with a unit: dimension, rounding, SI decimals.
_MEASURES: Final[dict[str, tuple[str, Rounding, int]]] = {
    "lower_set": ("pressure", "down", 0),
    "bigger_hose": ("diameter", "up", 1),
    "bigger_receiver": ("volume", "up", 0),
    "bigger_compressor": ("air_flow", "up", 0),
}


def remedy_words(tried: Remedy | Trial, system: UnitSystem) -> str:
    """Write what to do in one's own units."""
    if system == "us" or tried.act not in _MEASURES:
        return tried.text
    dimension, rounding, digits = _MEASURES[tried.act]
    value = parse_quantity(tried.value, dimension)
    shown = display(value, dimension, system, rounding, digits=digits)
    return tried.text.replace(tried.value, shown)


def air_needed(step: Frontier, system: UnitSystem) -> str:
    """Write the least free air that is enough with a tank, rounded up."""
    if step.free_air_m3_per_s is None:
        return NONE_IS_ENOUGH
    return display(step.free_air_m3_per_s, "air_flow", system, "up")


def help_answer(row: RowSheet, found: ZoneHelp, system: UnitSystem) -> str:
    """Say in a sentence or two what came of the remedies for a row of the sheet."""
    zone = row.name.lower()
    tried, helping = len(found.remedies) + len(found.in_vain), len(found.remedies)
    if not tried:
        return f"There is nothing to try for {zone}: {row.verdict_text}"
    of_all = "The one remedy tried" if tried == 1 else f"Of {tried} remedies tried"
    if not helping:
        verb = "does not help" if tried == 1 else "none helps"
        return f"{of_all} {verb} {zone}."
    verb = "helps" if helping == 1 else "help"
    count = "" if tried == 1 else f" {helping}"
    return f"{of_all}{count} {verb} {zone}. {_first_that_does(row, found, system)}"


def _first_that_does(row: RowSheet, found: ZoneHelp, system: UnitSystem) -> str:
    """Name the cheapest remedy that clears, or that clears without rests."""
    now = found.as_it_is.verdict
    clear = CLEARS - {"enough_with_rests"}
    if now in clear:
        if row.verdict in clear:
            return "It clears as it is."
        return "Behind its main alone, with no zone before it, it clears as it is."
    what = "clears it without rests" if now in CLEARS else "clears it"
    wanted = clear if now in CLEARS else CLEARS
    does = next((each for each in found.remedies if each.verdict in wanted), None)
    if does is None:
        return f"None of them {what}."
    return f"The cheapest that {what}: {remedy_words(does, system)}"

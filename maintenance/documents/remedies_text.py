"""What would help a zone, as plain text."""

from maintenance.documents.remedies_words import air_needed, remedy_words
from maintenance.engine.blowout.remedies import ZoneHelp
from maintenance.engine.blowout.verdict_words import STATES
from maintenance.engine.units import UnitSystem, display


def remedies_text(found: ZoneHelp, system: UnitSystem = "us") -> str:
    """Write the remedies, the cheapest first, then the air each tank would need."""
    lines = ["What would help"]
    if not found.remedies:
        lines.append("  - Nothing that was tried changes the answer.")
    for each in found.remedies:
        left = each.left_fraction_after
        stays = "" if left is None else f", about {100 * left:.1f} % left"
        what = remedy_words(each, system)
        lines.append(f"  - {what} Then: {STATES[each.verdict]}{stays}.")
    lines += ["", "Least free air that is enough, by the size of the tank"]
    for step in found.frontier:
        tank = display(step.receiver_m3, "volume", system)
        lines.append(f"  - {tank}: {air_needed(step, system)}")
    return "\n".join(lines)

"""One year beside the one before in words: what became of steps, zones, readings, times."""

from typing import Final

from maintenance.documents.season_words import END_WORDS
from maintenance.engine.procedure.reading import Reading
from maintenance.engine.units import UnitSystem, round_text, to_unit
from maintenance.services.seasons.beside import StepBeside, ZoneBeside
from maintenance.services.seasons.kept_list import Report, StepLine, ZoneLine

_DIGITS: Final = 1
_COMPARED: Final[dict[str, tuple[str, str]]] = {
    "pressure": ("higher", "lower"),
    "flow": ("more", "less"),
    "volume": ("more", "less"),
    "time": ("longer", "shorter"),
    "temperature": ("warmer", "colder"),
    "length": ("longer", "shorter"),
}


def step_difference(beside: StepBeside, system: UnitSystem) -> tuple[str, ...]:
    """Say how a step of this year differs from last year's; nothing if it does not.

    Parameters
    ----------
    beside : StepBeside
        The step in both lists. [-]
    system : str
        Units of differences, ``us`` or ``si``. [-]

    Returns
    -------
    tuple of str
        Short phrases. What has no outcome yet is not compared. [-]
    """
    this, last = beside.this, beside.last
    if last is None:
        return ("not in last year's list",)
    if this is None:
        return ("not in this year's list",)
    found = []
    if this.step.to != last.step.to:
        found.append(f"asks for {_asked(this)}, last year for {_asked(last)}")
    if this.report and last.report:
        found += _reports_differ(this.report, last.report, system)
    elif this.report:
        found.append("had no outcome last year")
    return tuple(found)


def zone_difference(beside: ZoneBeside) -> str:
    """Say how a zone's end differs from last year's; nothing if it does not."""
    this, last = beside.this, beside.last
    if last is None:
        return "new this year"
    if this is None:
        return "not in this year's list"
    if this.outcome is None:
        return ""
    if last.outcome is None:
        return "had no outcome last year"
    if this.outcome != last.outcome:
        return f"{_ended(this)} now, {_ended(last)} last year"
    return ""


def reading_difference(this: Reading, last: Reading, system: UnitSystem) -> str:
    """Say how far two readings lie apart; nothing where they cannot be compared.

    Examples
    --------
    >>> low, high = Reading("44 psi", 303369.0, "pressure"), Reading("45 psi", 310264.1,
    ... "pressure")
    >>> reading_difference(high, low, "us")
    '1 psi higher'
    >>> reading_difference(low, low, "us")
    'the same reading'
    """
    if this.kind != last.kind or this.value is None or last.value is None:
        return ""
    now, unit = to_unit(this.value, this.kind, system)
    then, _ = to_unit(last.value, this.kind, system)
    apart = round_text(abs(now - then), _DIGITS).removesuffix(".0")
    if apart == "0":
        return "the same reading"
    more, less = _COMPARED[this.kind]
    return f"{apart} {unit} {more if now > then else less}"


def _reports_differ(this: Report, last: Report, system: UnitSystem) -> list[str]:
    found = []
    if this.outcome != last.outcome:
        found.append(f"{_became(this)} now, {_became(last)} last year")
    told = reading_difference(this.reading, last.reading, system)
    if told and told != "the same reading":
        found.append(told)
    elif not told and this.reading.text != last.reading.text:
        found.append("read otherwise")
    if this.seconds is not None and last.seconds is not None:
        apart = this.seconds - last.seconds
        if round(abs(apart)):
            word = "longer" if apart > 0 else "shorter"
            found.append(f"{abs(apart):.0f} s {word}")
    return found


def _asked(line: StepLine) -> str:
    return line.step.to or "nothing more"


def _became(report: Report) -> str:
    if report.outcome == "skipped":
        return f"skipped ({report.reason})"
    return "done"


def _ended(zone: ZoneLine) -> str:
    return END_WORDS[zone.outcome] if zone.outcome else "no outcome"

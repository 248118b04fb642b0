"""The blow-out sheet as plain text, for a terminal or to print as it is."""

from collections.abc import Iterable, Sequence

from maintenance.documents.method_notes import method_notes
from maintenance.documents.row_words import (
    assumed_words,
    front_number,
    gauge_words,
    left_words,
    minutes,
    passes_words,
    pressure_number,
    setting_blocks,
    standing_words,
)
from maintenance.engine.blowout.sheet import RowSheet, Sheet
from maintenance.engine.blowout.verdict_words import STATES
from maintenance.engine.units import UnitSystem, display

_HEADS = (
    "#",
    "Row",
    "Limit",
    "Set",
    "Front",
    "Passes",
    "Done",
    "1 stuck",
    "2 stuck",
    "Verdict",
)
_RIGHT = frozenset({0, 2, 3, 4, 6, 7, 8})
_UNITS = ("", "", "{p}", "{p}", "s", "", "{p}", "{p}", "{p}", "")


def sheet_text(sheet: Sheet, system: UnitSystem = "us") -> str:
    """Write the whole sheet: the answer first, then the rows, the doubts, the notes."""
    blocks = [
        _heading(sheet, system),
        _listed("Before the engine starts", sheet.before, "[ ]"),
        *_tables(sheet, system),
        _beside_the_rows(sheet, system),
        _listed("Bring", sheet.bring),
        _signs(sheet),
        _listed("After", sheet.after, "[ ]"),
        _listed("Assumed", assumed_words(sheet)),
        _listed("Look at", (_warning(w.text, w.about) for w in sheet.warnings)),
        _most_useful(sheet),
        _methods(sheet),
    ]
    return "\n\n".join(block for block in blocks if block)


def _heading(sheet: Sheet, system: UnitSystem) -> str:
    air = display(sheet.air_temperature_k, "temperature", system)
    hands = sheet.hands_on_time_s
    blown = minutes(sheet.total_time_s - hands)
    out = display(sheet.water_out_m3, "volume", system, "down")
    left = display(sheet.water_left_m3, "volume", system, "up")
    what = f"{sheet.site_name}, compressor {sheet.compressor}, air {air}"
    times = (
        f"Hands-on {minutes(hands)} for one person, {minutes(hands / 2)} each for two; "
        f"air on and rests {blown}."
    )
    water = (
        f"About {out} should come out and {left} stay: estimates, good to a factor of "
        "two or three."
    )
    return f"Blow-out sheet: {what}\n\n{sheet.answer}\n\n{times} {water}"


def _tables(sheet: Sheet, system: UnitSystem) -> list[str]:
    unit = "psi" if system == "us" else "kPa"
    blocks = []
    for block in setting_blocks(sheet):
        setting = pressure_number(block.setting_pa, system)
        turn = " (turn up with the air off and every valve shut)" if block.up else ""
        blocks.append(f"Set {setting} {unit}{turn}\n{_table(block.rows, system, unit)}")
    without = [row for row in sheet.rows if row.set_pressure_pa is None]
    if without:
        lines = "\n".join(f"  {row.name}: {row.verdict_text}" for row in without)
        blocks.append(f"No setting\n{lines}")
    return blocks


def _table(rows: Sequence[RowSheet], system: UnitSystem, unit: str) -> str:
    units = tuple(text.format(p=unit) for text in _UNITS)
    cells = [_HEADS, units, *(_cells(row, system) for row in rows)]
    widths = [max(len(line[i]) for line in cells) for i in range(len(_HEADS))]
    lines = []
    for line in cells:
        padded = (
            text.rjust(width) if i in _RIGHT else text.ljust(width)
            for i, (text, width) in enumerate(zip(line, widths, strict=True))
        )
        lines.append("  ".join(padded).rstrip())
    return "\n".join(lines)


def _cells(row: RowSheet, system: UnitSystem) -> tuple[str, ...]:
    gauge = gauge_words(row, system)
    readings = (gauge.dry, gauge.one_blocked, gauge.two_blocked)
    return (
        str(row.order),
        row.name,
        pressure_number(row.limit.limit_pa, system),
        pressure_number(row.set_pressure_pa, system),
        front_number(row),
        passes_words(row),
        *(text or "-" for text in readings),
        STATES[row.verdict],
    )


def _beside_the_rows(sheet: Sheet, system: UnitSystem) -> str:
    lines: list[str] = []
    for row in sheet.rows:
        if row.set_pressure_pa is None:
            continue
        lines.append(f"  {row.name}: {row.verdict_text}")
        lines += [f"    Caution: {text}" for text in row.cautions]
        why_not = gauge_words(row, system).why_not
        if why_not:
            lines.append(f"    Gauge: {why_not}")
        stays = "; ".join(standing_words(row, system)[:3])
        lines.append(f"    Left: {left_words(row)}" + (f"; {stays}" if stays else ""))
    return "Beside the rows\n" + "\n".join(lines) if lines else ""


def _signs(sheet: Sheet) -> str:
    lines = [f"  {s.sign}: {s.meaning} {s.do}" for s in sheet.if_this_happens]
    return "If this happens\n" + "\n".join(lines) if lines else ""


def _listed(title: str, texts: Iterable[str], mark: str = "-") -> str:
    lines = [f"  {mark} {text}" for text in texts]
    return f"{title}\n" + "\n".join(lines) if lines else ""


def _warning(text: str, about: Sequence[str]) -> str:
    named = ", ".join(about[:8]) + (" and others" if about[8:] else "")
    return f"{text} ({named})" if named else text


def _most_useful(sheet: Sheet) -> str:
    unknown = sheet.most_useful_unknown
    if unknown is None:
        return ""
    return f"Find out first: {unknown.key}. {unknown.why}"


def _methods(sheet: Sheet) -> str:
    lines = []
    for note in method_notes(sheet):
        assumed = (
            f" Assumed: {'; '.join(note.assumptions)}." if note.assumptions else ""
        )
        sources = "; ".join(note.sources)
        lines.append(f"{note.name}: {note.method}. Source: {sources}.{assumed}")
    return _listed("How it was worked out", lines)

"""The numbers of a row in words, the same on a page, on paper and in a terminal."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from maintenance.engine.blowout.sheet import RowSheet, Sheet
from maintenance.engine.units import UnitSystem, display, round_text, to_unit

REST_STEP_S = 10.0
"""Rests are told in steps of ten seconds, rounded up: nobody counts closer."""
CLEARS = frozenset({"enough", "too_much", "enough_with_rests"})
"""The verdicts of a row that should clear."""


@dataclass(frozen=True, slots=True)
class GaugeWords:
    """The three readings, or the sentence why the gauge cannot tell."""

    dry: str
    one_blocked: str
    two_blocked: str
    why_not: str
    short: str


@dataclass(frozen=True, slots=True)
class SettingBlock:
    """Rows that follow each other at one setting; ``up`` where it is turned up."""

    setting_pa: float
    rows: tuple[RowSheet, ...]
    up: bool


def setting_blocks(sheet: Sheet) -> tuple[SettingBlock, ...]:
    """Cut the rows, in running order, wherever the setting changes."""
    blocks: list[SettingBlock] = []
    with_setting = [row for row in sheet.rows if row.set_pressure_pa is not None]
    ordered = sorted(with_setting, key=lambda row: row.order)
    for setting, rows in groupby(ordered, key=lambda row: row.set_pressure_pa or 0.0):
        up = bool(blocks) and setting > blocks[-1].setting_pa
        blocks.append(SettingBlock(setting, tuple(rows), up))
    return tuple(blocks)


def pressure_number(
    value_pa: float | None, system: UnitSystem, *, down: bool = True
) -> str:
    """Write a pressure without its unit, whole; limits and settings are rounded down."""
    if value_pa is None:
        return "none"
    number, _ = to_unit(value_pa, "pressure", system)
    return round_text(number, 0, "down" if down else "nearest")


def front_number(sheet: RowSheet) -> str:
    """Write the seconds of the first front, rounded up."""
    if sheet.displacement is None:
        return "none"
    time_s = sheet.displacement.time_s
    return "never" if time_s is None else f"{math.ceil(time_s - 1e-9)}"


def passes_words(sheet: RowSheet) -> str:
    """Write the passes: how often, how long with air on, how long a rest between.

    Air-on times are rounded down and rests up. Equal ones are told once.
    """
    return times_words([(each.on_s, each.rest_s) for each in sheet.passes])


def times_words(passes: Sequence[tuple[float, float]]) -> str:
    """Write passes from the seconds with air on and of rest of each."""
    if not passes:
        return "none"
    on_s = math.floor(passes[0][0])
    rests = [_rest(rest_s) for _, rest_s in passes[:-1]]
    count = len(passes)
    text = f"{count} × {on_s} s"
    if not any(rests):
        return text
    if len(set(rests)) == 1:
        return f"{text}, rest {rests[0]} s" + (" between" if count > 1 else "")
    named = [f"{rest} s after {n}" for n, rest in enumerate(rests, start=1) if rest]
    return f"{text}, rest {' and '.join(named)}"


def _rest(rest_s: float) -> int:
    return int(math.ceil(rest_s / REST_STEP_S - 1e-9) * REST_STEP_S)


def gauge_words(sheet: RowSheet, system: UnitSystem) -> GaugeWords:
    """Say what the gauge reads when done and with heads stuck, or why it cannot.

    Where stuck heads read no higher than the band of a clear row, that is said: the
    gauge cannot show them.
    """
    gauge = sheet.gauge
    if gauge is None:
        return GaugeWords("", "", "", "No reading: the row gets no setting.", "none")
    if not gauge.usable:
        if gauge.regulator_holds:
            short = "none: stays at the setting"
        elif not gauge.heads_stay_up:
            short = "none: heads drop first"
        else:
            short = "none: no gauge at the port"
        return GaugeWords("", "", "", gauge.why_not, short)
    dry, high, one, two = (
        pressure_number(value, system, down=False)
        for value in (
            gauge.dry_pa,
            gauge.dry_high_pa,
            gauge.one_head_blocked_pa,
            gauge.two_heads_blocked_pa,
        )
    )
    band = dry if dry == high else f"{dry} to {high}"
    hidden = "same"
    return GaugeWords(
        band,
        one if int(one) > int(high) else hidden,
        two if int(two) > int(high) else hidden,
        "",
        "",
    )


def left_words(sheet: RowSheet) -> str:
    """Write the share of water left after the passes shown, with its uncertainty."""
    if not sheet.passes:
        return ""
    last = sheet.passes[-1]
    low, high = percent(last.left_low), percent(last.left_high)
    return f"about {percent(last.left_fraction_after)} % ({low} to {high} %)"


def percent(share: float) -> str:
    """Write a share of water in percent, without its sign."""
    return f"{100 * share:.0f}" if share >= 0.095 else f"{100 * share:.1f}"


def minutes(seconds: float) -> str:
    """Write a time for planning, rounded up to five minutes."""
    total = max(5, math.ceil(seconds / 300 - 1e-9) * 5)
    hours, rest = divmod(total, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def volume_words(volume_m3: float, system: UnitSystem) -> str:
    """Write a volume that stays, rounded up."""
    return display(volume_m3, "volume", system, "up")


def standing_words(sheet: RowSheet, system: UnitSystem) -> tuple[str, ...]:
    """Write what stays where, the most first."""
    return tuple(
        f"{volume_words(pool.volume_m3, system)} at {pool.at}"
        + (", fills the bore" if pool.fills_bore else ", shallow")
        for pool in sheet.standing_water
    )


def assumed_words(sheet: Sheet) -> tuple[str, ...]:
    """Write what is assumed; the same about several parts is said once."""
    about: dict[str, list[str]] = {}
    for text in sheet.assumed:
        part, sign, what = text.partition(": ")
        if sign and " " not in part:
            about.setdefault(what, []).append(part)
        else:
            about.setdefault(text, [])
    return tuple(
        f"{', '.join(parts)}: {what}" if parts else what
        for what, parts in about.items()
    )

"""What fits into half a day, as plain text for a terminal."""

import textwrap
from collections.abc import Iterable
from itertools import groupby

from maintenance.documents.row_words import minutes
from maintenance.engine.procedure.exposure_order import ORDER, class_of
from maintenance.engine.procedure.half_day import Chosen, HalfDay, Waiting
from maintenance.engine.site import Site

WIDTH = 92
_SEASONS = {"shutdown": "shutdown", "startup": "start-up"}


def half_day_text(site: Site, half: HalfDay) -> str:
    """Write the answer, the steps for today, what can wait, and what stays undone."""
    blocks = [
        _heading(site, half),
        *_first(half.first),
        _waits(half.waits),
        _listed("Not done at the end of today", half.unfinished),
        _order() if half.procedure.season == "shutdown" else "",
    ]
    return "\n\n".join(block for block in blocks if block)


def _heading(site: Site, half: HalfDay) -> str:
    season = _SEASONS.get(half.procedure.season, half.procedure.season)
    frost = ", frost tonight" if half.frost_tonight else ""
    title = f"Part of the {season} in {half.hours:g} h: {site.name}{frost}"
    rules = len(half.checked.checks)
    text = (
        f"{half.sentence} In this order they break none of {rules} rules while they are "
        "carried out. Minutes are counted for each person; what takes its time, such as "
        f"air and waiting, takes {minutes(half.clock_minutes * 60.0)} of the clock."
    )
    return f"{title}\n\n{textwrap.fill(text, WIDTH)}"


def _first(first: Iterable[Chosen]) -> list[str]:
    blocks = []
    number = 0
    for block, group in groupby(first, key=lambda each: each.step.block):
        lines = [block or "Steps"]
        for each in group:
            number += 1
            note = f" ({each.why})" if each.needed else ""
            lines.append(
                textwrap.fill(
                    f"{each.step.text}{note}",
                    WIDTH,
                    initial_indent=f"  [ ] {number:3d}  ",
                    subsequent_indent=" " * 11,
                    break_on_hyphens=False,
                )
            )
            lines += [
                textwrap.fill(
                    f"Caution: {caution}",
                    WIDTH,
                    initial_indent=" " * 11,
                    subsequent_indent=" " * 11,
                )
                for caution in each.step.cautions
            ]
        blocks.append("\n".join(lines))
    return blocks


def _waits(waits: Iterable[Waiting]) -> str:
    by_reason: dict[tuple[str, str], list[str]] = {}
    for each in waits:
        key = (each.exposure, each.why)
        by_reason.setdefault(key, []).append(each.step.on)
    texts = []
    for (exposure, why), parts in by_reason.items():
        found = class_of(exposure)
        what = found.what if found else "the rest"
        names = ", ".join(dict.fromkeys(parts))
        texts.append(f"{_begun(what)}. {why} ({names})")
    return _listed("What can wait", texts)


def _order() -> str:
    return _listed(
        "What freezes first, and costs most",
        (f"{_begun(each.what)}. {each.why} Source: {each.source}." for each in ORDER),
    )


def _begun(text: str) -> str:
    return text[:1].upper() + text[1:]


def _listed(title: str, texts: Iterable[str]) -> str:
    lines = [
        textwrap.fill(text, WIDTH, initial_indent="  - ", subsequent_indent="    ")
        for text in texts
    ]
    return "\n".join((title, *lines)) if lines else ""

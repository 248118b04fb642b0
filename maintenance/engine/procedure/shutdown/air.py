"""Air from each port in turn: regulator, rows in the sheet's order, end of air."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from maintenance.engine.blowout.sheet import RowSheet, Sheet
from maintenance.engine.procedure.elements import COMPRESSOR
from maintenance.engine.procedure.shutdown import cautions, citations
from maintenance.engine.procedure.shutdown.air_ready import (
    air_cells,
    is_indoors,
    make_ready,
)
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.given import Given
from maintenance.engine.procedure.shutdown.pressure import relieve
from maintenance.engine.procedure.shutdown.row_steps import called, outlet_of, trial
from maintenance.engine.procedure.shutdown.row_words import setting_words
from maintenance.engine.procedure.shutdown.rows import air_off, blow_row, shut_last
from maintenance.engine.procedure.step import NO_SOURCE, Change, Step


@dataclass(frozen=True, slots=True)
class Planned:
    """Rows to blow, port after port; ``refused`` says of each other row why not."""

    stints: tuple[tuple[str, tuple[RowSheet, ...]], ...]
    refused: dict[str, str]

    @property
    def rows(self) -> tuple[RowSheet, ...]:
        """All rows that are blown, in order."""
        return tuple(row for _, rows in self.stints for row in rows)


def candidates(given: Given, sheet: Sheet | None) -> Planned:
    """Return the rows that could be blown, before anything is tried.

    Parameters
    ----------
    given : Given
        The site. [-]
    sheet : Sheet or None
        The blow-out sheet; None where no compressor comes. [-]

    Returns
    -------
    Planned
        Rows with a setting and an outlet, port after port. [-]
    """
    refused: dict[str, str] = {}
    kept = []
    for row in sheet.rows if sheet else ():
        why = _why_not(given, row)
        if why:
            refused[row.row.key] = why
        else:
            kept.append(row)
    return Planned(_stints(kept), refused)


def plan_air(draft: Draft, first: Planned) -> Planned:
    """Leave out the rows that would break a rule.

    Parameters
    ----------
    draft : Draft
        The list so far: sources shut, lines drained and watched. [-]
    first : Planned
        The candidates. [-]

    Returns
    -------
    Planned
        The rows that are blown. [-]
    """
    refused = dict(first.refused)
    kept = []
    for port, rows in first.stints:
        ready = draft.twin()
        make_ready(ready, port)
        for row in rows:
            breach = ready.breaks_at_once(trial(draft.given, row))
            if breach:
                refused[row.row.key] = breach
            else:
                kept.append(row)
    return Planned(_stints(kept), refused)


def _stints(rows: Sequence[RowSheet]) -> tuple[tuple[str, tuple[RowSheet, ...]], ...]:
    """Put rows in the sheet's order, those from one port together where they may be.

    Rows from ports that share no pipe leave each other's water alone: the order within
    a port is what the sheet's figures rest on.
    """
    ordered = sorted(rows, key=lambda row: row.order)
    if not _share_pipes(ordered):
        first: dict[str, int] = {}
        for row in ordered:
            first.setdefault(row.row.port, row.order)
        ordered.sort(key=lambda row: (first[row.row.port], row.order))
    stints = groupby(ordered, key=lambda row: row.row.port)
    return tuple((port, tuple(each)) for port, each in stints)


def cells_to_blow(draft: Draft, planned: Planned) -> frozenset[int]:
    """Return the cells that the rows planned press on.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    planned : Planned
        The rows. [-]

    Returns
    -------
    frozenset of int
        Mains, and what lies behind the zone valves that are opened. [-]
    """
    given = draft.given
    found: set[int] = set()
    for port, rows in planned.stints:
        found |= air_cells(draft, port)
        valves = {outlet_of(given, row) for row in rows}
        found |= {o.cell for o in given.piping.openings if valves & set(o.valves)}
        found |= {
            given.piping.cell_of[point] for row in rows for point in row.row.points
        }
    return frozenset(found)


def blow(draft: Draft, planned: Planned) -> Planned:
    """Write the steps of all rows, port after port.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    planned : Planned
        The rows. [-]

    Returns
    -------
    Planned
        What is blown: air that an earlier row left behind a check may keep a later
        row's outlet shut. [-]
    """
    refused = dict(planned.refused)
    done = []
    for port, rows in planned.stints:
        draft.block = f"Ready for air at {port}"
        make_ready(draft, port)
        setting, before = None, None
        for row in rows:
            if row.set_pressure_pa != setting:
                setting = row.set_pressure_pa
                words = setting_words(row, draft.given.units)
                air_off(draft)
                draft.block = f"Air from {port}, set {words}"
                draft.add(_regulator(port, words))
            broken = _broken_now(draft, row)
            if broken:
                refused[row.row.key] = broken
                continue
            blow_row(draft, row, before)
            before = row
            done.append(row)
        draft.block = f"End of air at {port}"
        _end_of_air(draft, port, before)
    return Planned(_stints(done), refused)


def _broken_now(draft: Draft, row: RowSheet) -> str:
    """Return what a row would break at its turn, after letting off what stands.

    Only a cap or a key minds pressure that an earlier row left behind a check.
    """
    if row.row.kind == "zone" or draft.positions[COMPRESSOR] == "on":
        return ""
    step = trial(draft.given, row)
    if not draft.breaks_at_once(step):
        return ""
    relieve(draft)
    return draft.breaks_at_once(step)


def _why_not(given: Given, row: RowSheet) -> str:
    """Return why a row is not tried at all, as a sentence."""
    if row.set_pressure_pa is None or not row.row.port:
        return row.verdict_text
    if given.choices.port not in (None, row.row.port):
        return f"It is blown from {row.row.port}; this list uses {given.choices.port} only."
    if is_indoors(given, row.row.port):
        return (
            f"Port {row.row.port} stands indoors: no engine and no hose under air there. "
            "Fit a port outdoors."
        )
    valve = given.valves.get(outlet_of(given, row))
    if valve is not None and valve.anti_siphon:
        return (
            f"Air would press on the vacuum breaker of the anti-siphon valve {valve.id}: "
            "it is drained instead."
        )
    if not outlet_of(given, row):
        return f"{row.row.to} is nothing that a person can open."
    return ""


def _share_pipes(rows: Sequence[RowSheet]) -> bool:
    """Whether rows from two ports have a pipe in common."""
    by_port: dict[str, set[str]] = {}
    for row in rows:
        by_port.setdefault(row.row.port, set()).update(row.row.links)
    links = [link for each in by_port.values() for link in each]
    return len(links) != len(set(links))


def _regulator(port: str, words: str) -> Step:
    return Step(
        key=f"set {port} {words}",
        act="set",
        on=COMPRESSOR,
        to=words,
        text=(
            f"Shut the valve at the hose. Set the regulator to {words} and watch the "
            "gauge for a minute."
        ),
        why="The limit is that of the weakest part of these rows.",
        cautions=(
            "If the gauge creeps up, do not use this regulator.",
            cautions.NEVER_ALL_SHUT,
            cautions.HOT,
            "Where no reading is given, the gauge cannot tell: go by heads and clock.",
        ),
        source=f"{citations.IOWA}; {citations.TURF}",
        minutes=3,
    )


def _end_of_air(draft: Draft, port: str, last: RowSheet | None) -> None:
    """Write the end: compressor off, last outlet open, gauge zero, hose off."""
    leave = f"Leave {called(last)} open until" if last else "Wait until"
    air_off(draft)
    draft.add(
        Step(
            key=f"switch_off at {port}",
            act="switch_off",
            on=COMPRESSOR,
            to="off",
            text=f"Compressor off. {leave} the gauge reads zero.",
            why="The last outlet lets out what the tank and hose still hold.",
            source=f"{citations.TURF}; {NO_SOURCE} for the order",
            minutes=3,
            changes=(Change(COMPRESSOR, "off"),),
        )
    )
    draft.add(
        Step(
            key=f"disconnect {port}",
            act="disconnect",
            on=port,
            to="open",
            text=(
                f"Open the valve at the hose to the air, then take the hose off {port}. "
                "Leave the port open until nothing more runs."
            ),
            why="Residual water and air leave here.",
            cautions=("Gauge at zero first: the hose whips.",),
            source=citations.MICHIGAN,
            minutes=5,
            changes=(Change(port, "open"),),
            sees=(port,),
        )
    )
    if last is not None:
        shut_last(draft, last)
    relieve(draft)

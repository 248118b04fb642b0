"""Compiled lists for tests, and a few ways to read them."""

from functools import cache
from pathlib import Path

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.checker import CheckedProcedure, check_procedure
from maintenance.engine.procedure.shutdown.choices import ShutdownChoices
from maintenance.engine.procedure.shutdown.compile import compile_shutdown
from maintenance.engine.procedure.shutdown.run_off import levels_after
from maintenance.engine.procedure.step import Procedure, Step
from maintenance.engine.site import Site
from maintenance.engine.site.card import site_from_card
from maintenance.exchange.compressor_file import read_compressor
from maintenance.exchange.site_file import read_site
from tests.engine.network.small_sites import (
    Record,
    compressor_of,
    joined,
    lateral,
    main_line,
    site_of,
    site_record,
)
from tests.fixtures.demo import COMPRESSORS, larkmoor

YARD = next(path for path in COMPRESSORS if path.stem == "yard-25")
NO_CHOICES = ShutdownChoices()


@cache
def site_at(path: Path) -> Site:
    return read_site(path.read_bytes())


@cache
def sheet_at(path: Path) -> Sheet:
    return make_sheet(site_at(path), read_compressor(YARD.read_bytes()))


@cache
def larkmoor_sheet() -> Sheet:
    return make_sheet(larkmoor(), read_compressor(YARD.read_bytes()))


@cache
def larkmoor_list(choices: ShutdownChoices = NO_CHOICES) -> Procedure:
    return compile_shutdown(larkmoor(), sheet=larkmoor_sheet(), choices=choices)


@cache
def larkmoor_drained() -> Procedure:
    return compile_shutdown(larkmoor())


def small_garden(*parts, zones=("1",), **keys) -> Site:
    """Return a site with a main, its zones and whatever ``parts`` add; keys as records."""
    whole = joined(main_line(), *(lateral(zone, "J1") for zone in zones), *parts)
    return site_of(site_record(*whole, zones, **keys))


def changed(record: Record, id_: str, **keys) -> Record:
    """Set some keys of one part of a record; None takes a key away."""
    for part in (*record["points"], *record["links"]):
        if part["id"] == id_:
            part.update(keys)
            for key in [k for k, value in keys.items() if value is None]:
                del part[key]
    return record


def compiled(site: Site, *, air: bool = True, **choices) -> Procedure:
    sheet = make_sheet(site, compressor_of(), passes=1) if air else None
    return compile_shutdown(site, sheet=sheet, choices=ShutdownChoices(**choices))


def checked(site: Site, procedure: Procedure, agreed=()) -> CheckedProcedure:
    whole = site_from_card(site)
    levels = levels_after(build_graph(whole), procedure)
    return check_procedure(whole, procedure, agreed=agreed, levels=levels)


def at(procedure: Procedure, key: str) -> int:
    """Return where a step stands; it must be there once."""
    (found,) = [n for n, step in enumerate(procedure.steps) if step.key == key]
    return found


def step_of(procedure: Procedure, key: str) -> Step:
    return procedure.steps[at(procedure, key)]


def acts(procedure: Procedure, act: str) -> list[str]:
    return [step.on for step in procedure.steps if step.act == act]


def words(procedure: Procedure) -> str:
    """Return everything that a person reads in the steps of a list."""
    return "\n".join(
        text
        for step in procedure.steps
        for text in (step.text, step.why, step.to, step.block, *step.cautions)
    )

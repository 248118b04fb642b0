"""Season lists of the tests, as the services would hand them out."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime
from functools import cache
from typing import Any

from maintenance.engine.blowout.make_sheet import make_sheet
from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.procedure.reading import read_reading
from maintenance.engine.procedure.shutdown.choices import ShutdownChoices
from maintenance.engine.procedure.shutdown.compile import compile_shutdown
from maintenance.engine.procedure.step import Procedure, Step
from maintenance.engine.units import UnitSystem
from maintenance.exchange.compressor_file import read_compressor
from maintenance.services.seasons.kept_list import (
    ListHead,
    Report,
    StepLine,
    WholeList,
    ZoneLine,
)
from tests.fixtures.demo import DEMO, larkmoor

MORNING = datetime(2026, 10, 14, 14, 0, tzinfo=UTC)
HEAD = ListHead(
    id=1,
    site_key="larkmoor",
    site_name="Larkmoor Gardens",
    time_zone="America/Denver",
    season="shutdown",
    year=2026,
    compressor="yard-25",
    notes="",
    opened_at=MORNING,
    opened_by="Ann",
    closed_at=None,
    closed_by="",
    site_changed=False,
    site_retired=False,
)


@cache
def sheet_of_larkmoor(units: UnitSystem = "us") -> Sheet:
    """Larkmoor's sheet with the compressor of the yard."""
    text = (DEMO / "compressors" / "yard-25.json").read_text("utf-8")
    return make_sheet(larkmoor(), read_compressor(text), units=units)


@cache
def shutdown_of_larkmoor(
    units: UnitSystem = "us", choices: ShutdownChoices | None = None
) -> Procedure:
    """Larkmoor's shutdown with that sheet."""
    return compile_shutdown(
        larkmoor(),
        sheet=sheet_of_larkmoor(units),
        choices=choices or ShutdownChoices(),
        units=units,
    )


def reported(outcome: Any = "done", *, reading: str = "", **fields: Any) -> Report:
    """Return a report of a step."""
    usual: dict[str, Any] = {
        "client_id": "c",
        "reason": "no key" if outcome == "skipped" else "",
        "who": "Ben",
        "done_at": MORNING,
        "received_at": MORNING,
        "seconds": None,
        "note": "",
        "undone_at": None,
        "undone_by": "",
    }
    return Report(outcome=outcome, reading=read_reading(reading), **(usual | fields))


def line_of(step: Step, number: int = 1, report: Report | None = None) -> StepLine:
    """Return a step as it stands in a list."""
    return StepLine(
        id=100 + number,
        number=number,
        step=step,
        own=False,
        placed=False,
        gone=False,
        report=report,
        undone=(),
    )


def zone_line(zone: str, outcome: Any = None, note: str = "") -> ZoneLine:
    """Return a zone as it stands in a list."""
    return ZoneLine(zone, f"Lawn {zone}", outcome, note, False)


def whole_of(
    procedure: Procedure,
    *,
    zones: Iterable[ZoneLine] = (),
    reports: dict[int, Report] | None = None,
    **head: Any,
) -> WholeList:
    """Return a whole list; ``reports`` go by the number of their step."""
    told = reports or {}
    return WholeList(
        head=replace(HEAD, **head),
        compiled_from=1,
        choices={},
        start={},
        stays_open=procedure.stays_open,
        warnings=procedure.warnings,
        all_steps=tuple(
            line_of(step, number, told.get(number))
            for number, step in enumerate(procedure.steps, start=1)
        ),
        all_zones=tuple(zones),
    )

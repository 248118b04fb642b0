"""What a person decides before a list is compiled, and how that is kept with it."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from datetime import datetime
from typing import Any

from maintenance.engine.procedure.shutdown.choices import ShutdownChoices
from maintenance.engine.procedure.startup.choices import StartupChoices
from maintenance.engine.units import UnitSystem


@dataclass(frozen=True, slots=True, kw_only=True)
class ListChoices:
    """Decisions for any season; those for another season are left alone.

    ``low_at`` is when the lowest of a frosty night is forecast, ``units`` those that
    the steps are written in.
    """

    shutdown: ShutdownChoices = field(default_factory=ShutdownChoices)
    startup: StartupChoices = field(default_factory=StartupChoices)
    low_at: datetime | None = None
    units: UnitSystem = "us"


def choices_to_record(choices: ListChoices) -> dict[str, Any]:
    """Turn choices into a plain object; flows of last spring are looked up again."""
    startup = asdict(choices.startup)
    del startup["last_spring_m3_per_s"]
    return {
        "shutdown": {
            "change_over": choices.shutdown.change_over,
            "agreed": sorted(choices.shutdown.agreed),
            "port": choices.shutdown.port,
        },
        "startup": startup,
        "low_at": choices.low_at.isoformat() if choices.low_at else None,
        "units": choices.units,
    }


def choices_from_record(record: Mapping[str, Any]) -> ListChoices:
    """Read choices back; a list that was kept without any gets the usual ones."""
    if not record:
        return ListChoices()
    autumn = record["shutdown"]
    low_at = record["low_at"]
    return ListChoices(
        shutdown=ShutdownChoices(**{**autumn, "agreed": frozenset(autumn["agreed"])}),
        startup=StartupChoices(**record["startup"]),
        low_at=datetime.fromisoformat(low_at) if low_at else None,
        units=record["units"],
    )

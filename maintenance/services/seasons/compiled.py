"""A list as its compiler made it, with all that it rests on."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any

from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.figure import Warning
from maintenance.engine.procedure.step import Procedure, StaysOpen
from maintenance.engine.procedure.step_record import step_to_record
from maintenance.models.fields import record_text


@dataclass(frozen=True, slots=True, kw_only=True)
class Compiled:
    """What a list is opened or rebuilt from.

    ``site_version`` is the version of the site that was read for it, ``start`` the
    positions that it starts from, ``sheet`` the blow-out sheet whose figures it uses,
    ``choices`` what a person decided, so that it can be compiled again.
    """

    procedure: Procedure
    site_version: int
    start: Mapping[str, str]
    sheet: Sheet | None = None
    choices: Mapping[str, Any] = field(default_factory=dict)

    def columns(self) -> dict[str, Any]:
        """Return the columns of a season list that a compiler decides."""
        procedure = self.procedure
        return {
            "site_version": self.site_version,
            "compressor": self.sheet.compressor if self.sheet else "",
            "basis": {
                "start": dict(self.start),
                "stays_open": [[each.id, each.why] for each in procedure.stays_open],
                "warnings": [
                    [w.code, w.text, list(w.about)] for w in procedure.warnings
                ],
                "choices": dict(self.choices),
            },
        }

    @property
    def fingerprint(self) -> str:
        """A short text that is another one as soon as the list is another one."""
        steps = [step_to_record(step) for step in self.procedure.steps]
        text = record_text({"steps": steps, **self.columns()})
        return sha256(text.encode()).hexdigest()[:32]


def stays_open_of(basis: Mapping[str, Any]) -> tuple[StaysOpen, ...]:
    """Read back what stays open."""
    return tuple(StaysOpen(*pair) for pair in basis["stays_open"])


def warnings_of(basis: Mapping[str, Any]) -> tuple[Warning, ...]:
    """Read back what the list rests on and lacks."""
    return tuple(
        Warning(code, text, tuple(about)) for code, text, about in basis["warnings"]
    )

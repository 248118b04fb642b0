"""A list as its compiler made it, with all that it rests on."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.procedure.step import Procedure, StaysOpen


@dataclass(frozen=True, slots=True, kw_only=True)
class Compiled:
    """What a list is opened or rebuilt from.

    ``site_version`` is the version of the site that was read for it, ``start`` the
    positions that it starts from, ``sheet`` the blow-out sheet whose figures it uses.
    """

    procedure: Procedure
    site_version: int
    start: Mapping[str, str]
    sheet: Sheet | None = None

    def columns(self) -> dict[str, Any]:
        """Return the columns of a season list that a compiler decides."""
        stays_open = [[each.id, each.why] for each in self.procedure.stays_open]
        return {
            "site_version": self.site_version,
            "compressor": self.sheet.compressor if self.sheet else "",
            "basis": {"start": dict(self.start), "stays_open": stays_open},
        }


def stays_open_of(basis: Mapping[str, Any]) -> tuple[StaysOpen, ...]:
    """Read back what stays open."""
    return tuple(StaysOpen(*pair) for pair in basis["stays_open"])

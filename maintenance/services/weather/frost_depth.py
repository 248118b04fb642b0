"""How deep the frost goes at a site, for what asks whether water lies below it."""

from dataclasses import dataclass

from maintenance.engine.climate.frost_depths import (
    UNCERTAINTY,
    FrostDepth,
    frost_depths,
)
from maintenance.engine.climate.kept_dates import dates_from_json
from maintenance.engine.errors import InputError
from maintenance.engine.units import UnitSystem, display
from maintenance.models import Account, KeptDates


@dataclass(frozen=True, slots=True)
class FrostAtSite:
    """The cover under which the frost goes deepest, and the station that tells it."""

    frost: FrostDepth
    station: str
    reached_m: float

    @property
    def depth_m(self) -> float:
        """The depth to count with: water above it may freeze [m].

        One winter in ten, and deeper by what the depth may be off.
        """
        return self.reached_m * (1.0 + UNCERTAINTY)

    def told(self, system: UnitSystem) -> str:
        """Say where the depth comes from."""
        depth = display(self.depth_m, "depth", system)
        return (
            f"Frost depth {depth}: {100 * UNCERTAINTY:.0f} % on top of one winter in "
            f"ten by the record of {self.station}. {self.frost.told(system)}"
        )


def frost_depth_of(account: Account, *, site_key: str) -> FrostAtSite | None:
    """Return the frost depth of a site with a station, in one query.

    None where nothing tells it: no station, no maxima, too few winters. Of several
    covers the deepest counts, since the map of water draws one line.
    """
    kept = (
        KeptDates.objects.for_account(account)
        .filter(site__key=site_key)
        .select_related("station")
        .defer("station__record")
        .first()
    )
    if kept is None:
        return None
    try:
        depths = frost_depths(dates_from_json(kept.dates)).values()
    except InputError:
        # Kept by another version of the program: the next refresh writes it anew.
        return None
    known = [
        FrostAtSite(each, kept.station.name, each.one_in_ten_m)
        for each in depths
        if each.one_in_ten_m is not None
    ]
    return max(known, key=lambda each: each.reached_m, default=None)

"""How deep the frost goes in the winters of a site, by the cover of the ground."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from maintenance.engine.climate.mixed_law import ranked_day
from maintenance.engine.climate.part_dates import SiteDates
from maintenance.engine.units import UnitSystem, display

ONE_IN: Final = 10
COVERS: Final[Mapping[str, str]] = MappingProxyType(
    {"bare": "bare ground", "paved": "paving"}
)
UNCERTAINTY: Final = 0.3
"""What the depth may be off [-], either way: no measured soils were found to check."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FrostDepth:
    """Frost under one cover [m]: reached in one winter of ten, and in the worst.

    ``one_in_ten_m`` is None where there are too few winters to tell.
    """

    cover: str
    winters: int
    one_in_ten_m: float | None
    deepest_m: float

    @property
    def sentence(self) -> str:
        """What is known, in US units."""
        return self.told()

    def told(self, system: UnitSystem = "us") -> str:
        """Say how deep, from how many winters, and how sure that is.

        Parameters
        ----------
        system : str
            ``us`` or ``si``. [-]

        Returns
        -------
        str
            One sentence or two. [-]
        """
        cover = COVERS.get(self.cover, self.cover)
        deepest = display(self.deepest_m, "depth", system)
        winters = "1 winter" if self.winters == 1 else f"{self.winters} winters"
        begin = f"Under {cover} the frost of {winters} reached {deepest} at most"
        if self.one_in_ten_m is not None:
            depth = display(self.one_in_ten_m, "depth", system)
            begin = (
                f"Under {cover} the frost reaches {depth} or deeper in one winter "
                f"of {ONE_IN}, {deepest} in the worst of {winters}"
            )
        return (
            f"{begin}. Worked out for loam without snow and sun, not measured: take it "
            f"as good to {100.0 * UNCERTAINTY:.0f} % either way."
        )


def frost_depths(dates: SiteDates) -> dict[str, FrostDepth]:
    """Return how deep the frost goes at a site.

    Parameters
    ----------
    dates : SiteDates
        What its record tells. [SI]

    Returns
    -------
    dict of str and FrostDepth
        By cover; empty where the record has no maxima. [m]

    Notes
    -----
    By rank, Weibull's plotting position i/(n + 1): the deepest of nine winters stands
    for one winter in ten.
    """
    return {
        cover: FrostDepth(
            cover=cover,
            winters=len(deepest),
            # Ranked from the far end, as the last freezes of spring are.
            one_in_ten_m=ranked_day(deepest, 1.0 / ONE_IN, "spring"),
            deepest_m=max(deepest),
        )
        for cover, deepest in dates.deepest_m.items()
        if deepest
    }

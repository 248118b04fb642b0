"""The line along which the water that is left is drawn, as plain values."""

from dataclasses import dataclass

from maintenance.documents.drawing.line import Station


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterReach:
    """A pipe between two stations, given by their places in ``stations``.

    ``wet_share`` is the part of it that stands full, from its low end up; water in it
    reaches to ``surface_m`` where the levels tell that. ``depth_m`` is that of its soil.
    """

    link: str
    start: int
    end: int
    state: str
    wet_share: float
    volume_m3: float | None
    surface_m: float | None = None
    depth_m: float | None = None
    exposed: bool = False
    pipe_text: str = ""
    lies: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterLine:
    """All that the profile of the water shows; ``pools`` are words by point."""

    name: str
    stations: tuple[Station, ...]
    reaches: tuple[WaterReach, ...]
    pools: tuple[tuple[str, str], ...] = ()
    frost_depth_m: float | None = None

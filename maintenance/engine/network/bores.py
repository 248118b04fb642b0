"""What a recorded pipe holds and stands: bore, volume, material and rating."""

import math
from dataclasses import dataclass

from maintenance.engine.pipes.catalogue import pipe_material, pipe_row
from maintenance.engine.site import Pipe

UNKNOWN_CLASSES = ("unknown", "unknown plastic", "unknown PVC", "unknown PE")


@dataclass(frozen=True, slots=True)
class Bore:
    """A pipe resolved to SI. ``inside_diameter_m`` is None where the size is unknown.

    ``assumed`` says in words what was taken because it is not recorded.
    """

    inside_diameter_m: float | None
    length_m: float
    material: str
    rating_pa: float | None
    placement: str
    assumed: tuple[str, ...]
    wall_m: float | None = None

    @property
    def volume_m3(self) -> float | None:
        """Volume of the whole length, from the bore. [m³]."""
        if self.inside_diameter_m is None:
            return None
        return math.pi / 4 * self.inside_diameter_m**2 * self.length_m


def resolve_pipe(pipe: Pipe) -> Bore:
    """Turn a recorded pipe into numbers.

    Parameters
    ----------
    pipe : Pipe
        Link as recorded. [-]

    Returns
    -------
    Bore
        Bore, length, material, rating and what was assumed. [SI]

    Raises
    ------
    InputError
        If the catalogue has no such pipe or size.

    Notes
    -----
    An unknown pipe takes the lowest rating and the largest bore of its class; a
    missing size gives no bore, so that nothing is computed from it.
    """
    assumed: list[str] = []
    placement = pipe.placement or "buried"
    if pipe.placement is None:
        assumed.append(f"{pipe.id}: placement not recorded, taken as buried")
    if pipe.inside_diameter is not None and pipe.pipe is None:
        return Bore(
            pipe.inside_diameter.value,
            pipe.length.value,
            pipe.material or "unknown plastic",
            pipe.rating.value if pipe.rating else None,
            placement,
            tuple(assumed),
        )
    name = pipe.pipe or "unknown"
    if pipe.size is None:
        assumed.append(f"{pipe.id}: size not recorded")
        material = pipe_material(name)
        return Bore(None, pipe.length.value, material, None, placement, tuple(assumed))
    row = pipe_row(name, pipe.size)
    if name in UNKNOWN_CLASSES:
        assumed.append(
            f"{pipe.id}: {name}, taken with the lowest rating and the largest bore "
            "of its class"
        )
    return Bore(
        row.inside_diameter_m,
        pipe.length.value,
        row.material,
        row.rating_pa,
        placement,
        tuple(assumed),
        row.wall_m,
    )

"""The shape of a recorded pipe that stands in the air: what freezes first, if unsure."""

from dataclasses import dataclass
from typing import Final

from maintenance.engine.errors import InputError
from maintenance.engine.freezing.kinds import Shape, pipe_shape
from maintenance.engine.freezing.thermal import WALL_HEAT
from maintenance.engine.pipes.catalogue import (
    UNKNOWN_PIPES,
    PipeRow,
    catalogue_rows,
    pipe_row,
)
from maintenance.engine.site import Pipe
from maintenance.engine.site.requirements import UNKNOWN_SIZE

WALL_SHARE: Final = 0.1
"""Wall over bore of a pipe of which only the bore is recorded [-]; assumed."""

SMALLEST_SIZE: Final = "3/4"
"""Size of a pipe of which none is recorded; common practice, no source."""


@dataclass(frozen=True, slots=True)
class PipeShape:
    """Shape of a pipe, what was assumed for it and which keys are not filled in."""

    shape: Shape
    assumed: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


def shape_of_pipe(link: Pipe) -> PipeShape:
    """Find the shape of a pipe.

    Parameters
    ----------
    link : Pipe
        The pipe as recorded. [-]

    Returns
    -------
    PipeShape
        Of an unknown pipe the smallest bore of its class at that size, since that
        freezes first. [SI]
    """
    if link.inside_diameter is not None:
        return _of_bore(link.inside_diameter.value, link.material)
    pipe, size = link.pipe or "unknown", link.size or UNKNOWN_SIZE
    told: list[str] = []
    unknown: list[str] = []
    if size == UNKNOWN_SIZE:
        size = SMALLEST_SIZE
        unknown.append("size")
        told.append("Taken as the smallest size in common use.")
    if pipe not in UNKNOWN_PIPES:
        return PipeShape(_made(pipe, size), tuple(told), tuple(unknown))
    unknown.insert(0, "pipe")
    told.insert(0, "Taken as the pipe of the smallest bore that it can be.")
    return PipeShape(_smallest(pipe, size), tuple(told), tuple(unknown))


def _of_bore(bore_m: float, material: str | None) -> PipeShape:
    known = material in WALL_HEAT
    made_of = material if material is not None and known else "PVC"
    told = "The wall is taken as a tenth of the bore."
    shape = Shape(bore_m, bore_m * (1.0 + 2.0 * WALL_SHARE), made_of)
    if known:
        return PipeShape(shape, (told,))
    return PipeShape(shape, (told, "Taken as PVC."), ("material",))


def _made(pipe: str, size: str) -> Shape:
    try:
        return pipe_shape(pipe, size)
    except InputError:
        # Nothing smaller is made of it than its smallest size.
        return _smallest_of([row for row in catalogue_rows() if row.pipe == pipe])


def _smallest(pipe: str, size: str) -> Shape:
    wanted = pipe_row(pipe, size).size
    return _smallest_of(
        [
            row
            for row in catalogue_rows()
            if row.material in UNKNOWN_PIPES[pipe] and row.size == wanted
        ]
    )


def _smallest_of(rows: list[PipeRow]) -> Shape:
    row = min(rows, key=lambda one: one.inside_diameter_m)
    return Shape(row.inside_diameter_m, row.outside_diameter_m, row.material)

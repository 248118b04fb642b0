"""The pipe catalogue: dimensions and water ratings by the names of the trade."""

import csv
import difflib
import math
import re
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Final

from maintenance.engine.errors import InputError

_METRES: Final = {"in": 0.0254, "mm": 1e-3}
_PASCALS: Final = {"psi": 6894.757293168361, "bar": 1e5}

UNKNOWN_PIPES: Final = MappingProxyType(
    {
        "unknown": ("PVC", "PE", "PE100", "copper", "steel"),
        "unknown plastic": ("PVC", "PE", "PE100"),
        "unknown PVC": ("PVC",),
        "unknown PE": ("PE", "PE100"),
    }
)
"""What a person may write who does not know, and the materials it can be."""

_UNKNOWN_MATERIAL: Final = {"unknown PVC": "PVC", "unknown PE": "PE"}


@dataclass(frozen=True, slots=True)
class PipeRow:
    """One pipe of the catalogue, or the most cautious of a class.

    ``inside_diameter_m`` is the outside less twice the minimum wall; pipe made to
    its inside (SIDR) has its bore. ``rating_pa`` is for cold water, never for air,
    and None where the standard gives none. ``mark`` says whether source was read
    or the figures are from memory.
    """

    pipe: str
    size: str
    material: str
    outside_diameter_m: float
    inside_diameter_m: float
    wall_m: float
    rating_pa: float | None
    source: str
    mark: str
    rating_basis: str = ""

    @property
    def volume_m3_per_m(self) -> float:
        """Volume of the bore in each metre [m3/m]."""
        return 0.25 * math.pi * self.inside_diameter_m**2


@cache
def _table() -> MappingProxyType[str, MappingProxyType[str, PipeRow]]:
    text = files("maintenance.engine.pipes").joinpath("pipe_dimensions.csv")
    table: dict[str, dict[str, PipeRow]] = {}
    for entry in csv.DictReader(text.read_text("utf-8").splitlines()):
        row = _row(entry)
        table.setdefault(row.pipe, {})[row.size] = row
    return MappingProxyType({k: MappingProxyType(v) for k, v in table.items()})


def _row(entry: dict[str, str]) -> PipeRow:
    metres = _METRES[entry["unit"]]
    rating = entry["rating"]
    return PipeRow(
        pipe=entry["pipe"],
        size=entry["size"],
        material=entry["material"],
        outside_diameter_m=float(entry["outside"]) * metres,
        inside_diameter_m=float(entry["inside"]) * metres,
        wall_m=float(entry["wall"]) * metres,
        rating_pa=float(rating) * _PASCALS[entry["rating_unit"]] if rating else None,
        source=f"{entry['standard']}: {entry['source']}",
        mark=entry["mark"],
        rating_basis=entry["rating_basis"],
    )


def pipe_names() -> tuple[str, ...]:
    """Names of the catalogue, then the ways to say that the pipe is not known.

    Returns
    -------
    tuple of str
        Names in the order of the catalogue [text].
    """
    return (*_table(), *UNKNOWN_PIPES)


def pipe_sizes(pipe: str) -> tuple[str, ...]:
    """Sizes in which a pipe is made.

    Parameters
    ----------
    pipe : str
        Name in the catalogue, or one of `UNKNOWN_PIPES` [text].

    Returns
    -------
    tuple of str
        Sizes, inch sizes first, each from small to large [text].

    Raises
    ------
    InputError
        If the catalogue has no such pipe.
    """
    sizes = {row.size for row in _rows_of(_known_name(pipe))}
    return tuple(sorted(sizes, key=_size_order))


def catalogue_rows() -> tuple[PipeRow, ...]:
    """Every row of the catalogue.

    Returns
    -------
    tuple of PipeRow
        Rows in the order of the file [rows].
    """
    return tuple(row for sizes in _table().values() for row in sizes.values())


@cache
def pipe_row(pipe: str, size: str) -> PipeRow:
    """Look a pipe up.

    Parameters
    ----------
    pipe : str
        Name in the catalogue, or one of `UNKNOWN_PIPES` [text].
    size : str
        Nominal size such as ``1-1/2`` (inches) or ``63 mm`` [text].

    Returns
    -------
    PipeRow
        Dimensions and rating. Of an unknown pipe: the lowest rating and the
        largest bore of its class at that size [row].

    Raises
    ------
    InputError
        If the catalogue has no such pipe, or it is not made in that size.

    Examples
    --------
    >>> row = pipe_row("PVC SDR-21", "1")
    >>> round(row.inside_diameter_m / 0.0254, 3)
    1.189
    """
    name = _known_name(pipe)
    wanted = _plain_size(size)
    rows = [row for row in _rows_of(name) if row.size == wanted]
    if not rows:
        made = pipe_sizes(name)
        near = [wanted + " mm"] if wanted + " mm" in made else []
        listed = ", ".join(near or made)
        raise InputError(
            f'{name} is not made in size "{size}"; write one of: {listed}', input="size"
        )
    return _most_cautious(name, rows) if name in UNKNOWN_PIPES else rows[0]


def pipe_material(pipe: str) -> str:
    """Material of a pipe whose size need not be known.

    Parameters
    ----------
    pipe : str
        Name in the catalogue, or one of `UNKNOWN_PIPES` [text].

    Returns
    -------
    str
        ``PVC``, ``PE``, ``PE100``, ``copper``, ``steel`` or ``unknown plastic``
        [text].

    Raises
    ------
    InputError
        If the catalogue has no such pipe.

    Examples
    --------
    >>> pipe_material("PVC-U PN 10"), pipe_material("unknown PE")
    ('PVC', 'PE')
    """
    name = _known_name(pipe)
    if name in UNKNOWN_PIPES:
        return _UNKNOWN_MATERIAL.get(name, "unknown plastic")
    return next(iter(_table()[name].values())).material


def _rows_of(name: str) -> list[PipeRow]:
    if name in UNKNOWN_PIPES:
        materials = UNKNOWN_PIPES[name]
        return [row for row in catalogue_rows() if row.material in materials]
    return list(_table()[name].values())


def _most_cautious(name: str, rows: list[PipeRow]) -> PipeRow:
    widest = max(rows, key=lambda row: row.inside_diameter_m)
    weakest = min(rows, key=lambda row: row.rating_pa or math.inf)
    marks = {widest.mark, weakest.mark}
    return PipeRow(
        pipe=name,
        size=widest.size,
        material=_UNKNOWN_MATERIAL.get(name, "unknown plastic"),
        outside_diameter_m=widest.outside_diameter_m,
        inside_diameter_m=widest.inside_diameter_m,
        wall_m=widest.wall_m,
        rating_pa=weakest.rating_pa,
        source=f"largest bore: {widest.pipe}; lowest rating: {weakest.pipe}",
        mark="from memory" if "from memory" in marks else "read",
        rating_basis=weakest.rating_basis,
    )


def _known_name(pipe: str) -> str:
    plain = re.sub(r"\s+", " ", pipe.strip()).casefold()
    by_plain = {name.casefold(): name for name in pipe_names()}
    if plain in by_plain:
        return by_plain[plain]
    near = difflib.get_close_matches(plain, by_plain, n=3, cutoff=0.5)
    listed = ", ".join(by_plain[name] for name in near) or "unknown plastic, PVC Sch 40"
    raise InputError(
        f'"{pipe}" is not in the pipe catalogue; the nearest names are: {listed}',
        input="pipe",
    )


def _plain_size(size: str) -> str:
    plain = re.sub(r'\s*(in|")$', "", size.strip())
    plain = re.sub(r"\s*mm$", " mm", plain)
    return re.sub(r"^(\d+)\s+(?=\d+/\d)", r"\1-", plain)


def _size_order(size: str) -> tuple[bool, float]:
    metric = size.endswith(" mm")
    parts = size.removesuffix(" mm").split("-")
    total = 0.0
    for part in parts:
        top, _, bottom = part.partition("/")
        total += float(top) / float(bottom or 1)
    return metric, total

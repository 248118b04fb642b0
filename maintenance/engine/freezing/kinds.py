"""The sizes that stand for each kind of part, and the night that may harm it.

Nobody publishes the waterways of assemblies, couplers and valves for freezing: what is
not read from the pipe catalogue is assumed, on the quick side.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Final, Literal

from maintenance.engine.errors import InputError
from maintenance.engine.pipes.catalogue import pipe_row
from maintenance.engine.site.measures import Measure
from maintenance.engine.site.quantities import read_quantity

INCH_M: Final = 0.0254

BODY_RATIO: Final = 1.3
"""Outside over bore of a cast body [-]; that of 2.5 in and 3.25 in, assumed for all."""

SMALL_BORE_M: Final = 1.75 * INCH_M
"""Up to this bore a bare part counts as small [m]: 1-1/2 in does, 2 in does not."""

SMALL_BARE_K: Final = (28.0 + 459.67) / 1.8
LARGE_BARE_K: Final = (24.0 + 459.67) / 1.8
WRAPPED_K: Final = (20.0 + 459.67) / 1.8
"""Night minimum of the air that may damage a small bare, a large bare and an insulated
part [K]: 28, 24 and 20 degF, from runs of this model on hourly records (assumed)."""


ICE_FORMS: Final = 0.01
DAMAGE_POSSIBLE: Final = 0.5
"""Shares of ice from which on ice forms and damage is possible [-]; assumed. Check
valves, bonnets and test cocks block before the rest."""

Harm = Literal["none", "ice_forms", "damage_possible", "damage_expected"]


@dataclass(frozen=True, slots=True)
class Shape:
    """Bore and outside [m] and material of a round part."""

    inside_diameter_m: float
    outside_diameter_m: float
    material: str


def body_shape(bore_m: float, material: str = "brass") -> Shape:
    """Return the shape of a cast body.

    Parameters
    ----------
    bore_m : float
        Its bore: the nominal size [m].
    material : str
        What it is made of [text].

    Returns
    -------
    Shape
        With the wall assumed [SI].

    Examples
    --------
    >>> round(body_shape(0.0635).outside_diameter_m / 0.0254, 2)
    3.25
    """
    return Shape(bore_m, BODY_RATIO * bore_m, material)


def pipe_shape(pipe: str, size: str) -> Shape:
    """Return the shape of a pipe of the catalogue.

    Parameters
    ----------
    pipe : str
        Name in the catalogue, or a way to say that it is not known [text].
    size : str
        Nominal size [text].

    Returns
    -------
    Shape
        With the largest bore of an unknown class [SI].
    """
    row = pipe_row(pipe, size)
    return Shape(row.inside_diameter_m, row.outside_diameter_m, row.material)


def nominal_size(text: str | None) -> float | None:
    """Read a nominal size such as ``3/4``, ``1-1/4 in`` or ``63 mm``.

    Parameters
    ----------
    text : str or None
        As recorded [text].

    Returns
    -------
    float or None
        Size, above 0; None where the text begins with no size [m].

    Examples
    --------
    >>> nominal_size("3/4"), nominal_size("brass plug")
    (0.01905, None)
    """
    words = (text or "").replace('"', " in ").split()
    if not words:
        return None
    unit = "mm" if words[1:2] == ["mm"] else "in"
    mixed = words[1:2] and "/" in words[1]
    number = f"{words[0]}-{words[1]}" if mixed else words[0]
    try:
        found = read_quantity(f"{number} {unit}", _SIZE)
    except InputError:
        return None
    return found.value


_SIZE: Final = Measure("diameter", 0.003, 1.0)


def damaging_night(inside_diameter_m: float, *, wrapped: bool) -> float:
    """Night minimum of the air at which a part above ground may come to harm.

    Parameters
    ----------
    inside_diameter_m : float
        Its bore [m].
    wrapped : bool
        Whether insulation covers it [-].

    Returns
    -------
    float
        Air temperature, for records that hold daily minima only [K].
    """
    if wrapped:
        return WRAPPED_K
    return SMALL_BARE_K if inside_diameter_m <= SMALL_BORE_M else LARGE_BARE_K


def harm_of_ice(ice_fraction: float) -> Harm:
    """Say what a share of ice may do to a part that was not drained.

    Parameters
    ----------
    ice_fraction : float
        Largest share of its water that is ice, 0 to 1 [-].

    Returns
    -------
    str
        ``none``, ``ice_forms``, ``damage_possible`` or ``damage_expected`` [-].

    Raises
    ------
    InputError
        For a share that is not a number from 0 to 1.

    Examples
    --------
    >>> harm_of_ice(0.4)
    'ice_forms'
    """
    if not 0.0 <= ice_fraction <= 1.0:
        raise InputError(
            f"ice_fraction: {ice_fraction:g} is no share; give a number from 0 to 1",
            input="ice_fraction",
            low=0.0,
            high=1.0,
        )
    if ice_fraction >= 1.0:
        return "damage_expected"
    if ice_fraction >= DAMAGE_POSSIBLE:
        return "damage_possible"
    return "ice_forms" if ice_fraction >= ICE_FORMS else "none"


def _named_shapes() -> dict[str, Shape]:
    shapes = {
        f"{size} in copper": pipe_shape("copper L", size)
        for size in ("1/2", "3/4", "1", "1-1/4", "1-1/2", "2")
    }
    shapes["brass body"] = body_shape(2.5 * INCH_M)
    for kind, sizes in (
        ("assembly", ("3/4", "1", "1-1/4", "1-1/2", "2")),
        ("quick coupler", ("3/4", "1")),
    ):
        for size in sizes:
            shapes[f"{size} in {kind}"] = body_shape(_inches(size))
    for name, pipe in (("PVC", "PVC Sch 40"), ("steel", "steel Sch 40")):
        for size in ("1/2", "3/4", "1", "1-1/4", "1-1/2", "2"):
            shapes[f"{size} in {name}"] = pipe_shape(pipe, size)
    return shapes


def _inches(size: str) -> float:
    return INCH_M * float(sum(Fraction(part) for part in size.split("-")))


NAMED_SHAPES: Final[Mapping[str, Shape]] = MappingProxyType(_named_shapes())
"""The parts that a person may name instead of giving diameters."""

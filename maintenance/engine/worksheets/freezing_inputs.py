"""What the worksheets on freezing take and give with the same meaning."""

from typing import Final

from maintenance.engine.freezing.constants import FREEZING_POINT_K
from maintenance.engine.worksheets.declaration import Output
from maintenance.engine.worksheets.inputs import Input

NEVER: Final = "never: the air does not freeze it"


def diameter(name: str, label: str, such_as: str, *, optional: bool = False) -> Input:
    """Declare a diameter of a part or pipe.

    Parameters
    ----------
    name : str
        Name of the input [text].
    label : str
        What it is the diameter of [text].
    such_as : str
        An example [text].
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
        dimension="diameter",
        low=0.002,
        high=2.0,
        such_as=such_as,
        optional=optional,
    )


def start_water(name: str) -> Input:
    """Declare the temperature of still water before it freezes.

    Parameters
    ----------
    name : str
        Name of the input [text].

    Returns
    -------
    Input
        The declaration [input].
    """
    return Input(
        name=name,
        label="temperature of the water at the start",
        dimension="temperature",
        low=FREEZING_POINT_K,
        high=323.15,
    )


def hours_output(key: str, label: str) -> Output:
    """Declare a time that is told in hours, rounded down.

    Parameters
    ----------
    key : str
        Key of the output [text].
    label : str
        What happens then [text].

    Returns
    -------
    Output
        The declaration [output].
    """
    return Output(key=key, label=label, dimension="part_hours", rounding="down")

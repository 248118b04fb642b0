"""All worksheets by name: the one list behind commands, pages and documents."""

from collections.abc import Mapping
from difflib import get_close_matches
from types import MappingProxyType
from typing import Final

from maintenance.engine.errors import InputError
from maintenance.engine.worksheets import (
    backflow_verdict,
    columns,
    energy,
    filling,
    free_air,
    freezing_parts,
    ground,
    heads,
    heat,
    insulated_pipe,
    leaks,
    line_loss,
    lines,
    next_due,
    pipes,
    receivers,
    surge,
    sweep,
)
from maintenance.engine.worksheets.declaration import Worksheet

_MODULES: Final = (
    pipes,
    free_air,
    heads,
    lines,
    receivers,
    columns,
    sweep,
    heat,
    energy,
    line_loss,
    filling,
    surge,
    leaks,
    insulated_pipe,
    freezing_parts,
    ground,
    backflow_verdict,
    next_due,
)

WORKSHEETS: Final[Mapping[str, Worksheet]] = MappingProxyType(
    {sheet.name: sheet for module in _MODULES for sheet in module.WORKSHEETS}
)


def find_worksheet(name: str) -> Worksheet:
    """Look a worksheet up.

    Parameters
    ----------
    name : str
        Name such as ``free_air`` [text].

    Returns
    -------
    Worksheet
        The declaration [worksheet].

    Raises
    ------
    InputError
        If there is none; names the nearest.

    Examples
    --------
    >>> find_worksheet("free_air").title
    'Air a compressor delivers here'
    """
    if name in WORKSHEETS:
        return WORKSHEETS[name]
    near = get_close_matches(name, WORKSHEETS, n=3)
    mend = f"did you mean {' or '.join(near)}?" if near else "see --list"
    raise InputError(f'there is no worksheet "{name}"; {mend}', input="worksheet")


def reference_rows() -> tuple[tuple[str, str, str], ...]:
    """Name, purpose and sources of each worksheet, for tables in documents.

    Returns
    -------
    tuple of (str, str, str)
        One row a worksheet, in the order of the registry [text].
    """
    return tuple(
        (sheet.name, sheet.purpose, "; ".join(sheet.sources))
        for sheet in WORKSHEETS.values()
    )

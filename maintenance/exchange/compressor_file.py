"""The compressor file: one compressor as text, in and out."""

from maintenance.engine.site import Compressor
from maintenance.engine.site.faults import Faults
from maintenance.engine.site.record import read_draft, to_record
from maintenance.exchange.json_text import json_text, parse_json


def read_compressor(text: str | bytes) -> Compressor:
    """Read a compressor file.

    Parameters
    ----------
    text : str or bytes
        Content of the file. [-]

    Returns
    -------
    Compressor
        The compressor as recorded. [-]

    Raises
    ------
    Faults
        With everything that is wrong, each with its path.
    """
    record, repeated = parse_json(text)
    compressor, faults = read_draft(Compressor, record)
    if repeated or faults:
        raise Faults((*repeated, *faults))
    return compressor


def write_compressor(compressor: Compressor) -> str:
    """Write a compressor file.

    Parameters
    ----------
    compressor : Compressor
        The compressor as recorded. [-]

    Returns
    -------
    str
        Content of the file; reading it gives the same compressor. [-]
    """
    return json_text(to_record(compressor))

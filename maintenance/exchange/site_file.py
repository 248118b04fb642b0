"""The site file: a whole site as text, in and out."""

from maintenance.engine.site import Site
from maintenance.engine.site.checks import check_draft
from maintenance.engine.site.faults import Faults
from maintenance.engine.site.record import read_draft, to_record
from maintenance.exchange.json_text import json_text, parse_json


def read_site(text: str | bytes) -> Site:
    """Read a site file.

    Parameters
    ----------
    text : str or bytes
        Content of the file. [-]

    Returns
    -------
    Site
        The site as recorded: quick zones and card are not laid out. [-]

    Raises
    ------
    Faults
        With everything that is wrong, each with its path.
    """
    record, repeated = parse_json(text)
    site, faults = read_draft(Site, record)
    faults = (*repeated, *faults)
    # What is not an object at all has no parts to compare.
    found = check_draft(site, faults) if isinstance(record, dict) else ()
    if faults or found:
        raise Faults((*faults, *found))
    return site


def write_site(site: Site) -> str:
    """Write a site file.

    Parameters
    ----------
    site : Site
        The site as recorded. [-]

    Returns
    -------
    str
        Content of the file; reading it gives the same site. [-]
    """
    return json_text(to_record(site))

"""The site that a command is given: a file, or the id of one that is kept."""

from collections.abc import Callable
from pathlib import Path

from maintenance.engine.site import Site
from maintenance.exchange.site_file import read_site
from maintenance.management.database import prepare_database
from maintenance.services.accounts import local_account
from maintenance.services.inventory import queries


def is_file(name: str) -> bool:
    """Tell a file from an id: it is there, or it is written like one."""
    return Path(name).is_file() or "/" in name or name.endswith(".json")


def site_named(name: str, *, say: Callable[[str], None]) -> Site:
    """Return the site, reading the database only where no file is named."""
    if is_file(name):
        return read_site(Path(name).read_bytes())
    prepare_database(say=say)
    return queries.site(local_account(), key=name)

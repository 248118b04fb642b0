"""Everything that an account keeps, as one archive to take away."""

import json
import re
import tempfile
import zipfile
from typing import IO, TYPE_CHECKING, Final

from django.core.serializers.json import DjangoJSONEncoder

from maintenance.exchange.compressor_file import write_compressor
from maintenance.exchange.csv_cells import csv_text
from maintenance.exchange.site_file import write_site
from maintenance.services.inventory.queries import (
    compressors,
    retired_compressors,
    sites,
    sites_of,
)
from maintenance.services.people.export import exported_tables

if TYPE_CHECKING:
    from maintenance.models import Account

_IN_MEMORY_BYTES: Final = 8_000_000
READ_ME: Final = """Everything that this account keeps.

sites/        each site as a site file: the tool reads it again (Import)
compressors/  each compressor likewise
tables/       every table, as JSON and as CSV; *_history tells each change

In the CSV files a text that begins with = + - @ or ' has an apostrophe in front, so
that no spreadsheet takes it for a formula.
Passwords and links of invitations are not in here. Gate codes and addresses of people
are: keep this file as you keep your keys.
"""


def account_archive(account: "Account") -> IO[bytes]:
    """Return the archive, to be read from its beginning."""
    stream: IO[bytes] = tempfile.SpooledTemporaryFile(max_size=_IN_MEMORY_BYTES)  # noqa: SIM115
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("READ ME.txt", READ_ME)
        keys = [line.key for line in sites(account)]
        kept = sites_of(account, keys=keys)
        for number, key in enumerate(keys, start=1):
            archive.writestr(_name("sites", number, key), write_site(kept[key]))
        machines = [*compressors(account), *retired_compressors(account)]
        for number, machine in enumerate(machines, start=1):
            name = _name("compressors", number, machine.id)
            archive.writestr(name, write_compressor(machine))
        for table in exported_tables(account):
            rows = json.dumps(
                table.rows, cls=DjangoJSONEncoder, ensure_ascii=False, indent=1
            )
            archive.writestr(f"tables/{table.name}.json", rows)
            text = csv_text(table.columns, table.rows)
            archive.writestr(f"tables/{table.name}.csv", text)
    stream.seek(0)
    return stream


def _name(folder: str, number: int, key: str) -> str:
    """Return a name that every system can unpack, whatever the id holds."""
    plain = re.sub(r"[^A-Za-z0-9_-]+", "-", key)[:60].strip("-")
    return f"{folder}/{number:04d}-{plain or 'unnamed'}.json"

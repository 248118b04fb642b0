"""The database's own clock, which all workers share: leases are counted by it alone.

A worker's clock may be hours wrong; then it would take what another is sending.
"""

from django.db import connection
from django.db.models import DateTimeField
from django.db.models.expressions import RawSQL


def clock_sql(ahead_s: int = 0) -> str:
    """Return SQL for the present by the database's clock, so many seconds later.

    It is written for a statement with parameters, where ``%%`` stands for one sign.
    """
    if connection.vendor == "postgresql":
        # The start of the statement: an index can be used with it, and unlike the
        # start of the transaction it does not stand still.
        return f"(statement_timestamp() + interval '{int(ahead_s)} seconds')"
    return f"strftime('%%Y-%%m-%%d %%H:%%M:%%f', 'now', '{int(ahead_s):+d} seconds')"


def clock(ahead_s: int = 0) -> RawSQL:
    """Return the same as an expression for queries."""
    sql = clock_sql(ahead_s)  # numbers of ours only
    return RawSQL(sql, [], output_field=DateTimeField())  # noqa: S611

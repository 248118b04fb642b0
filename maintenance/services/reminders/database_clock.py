"""The database's own clock, which all workers share: leases are counted by it alone.

A worker's clock may be hours wrong; then it would take what another is sending.
"""

from typing import Final

from django.db import connection
from django.db.models import DateTimeField, Q
from django.db.models.expressions import RawSQL

LONGEST_LEASE_S: Final = 20 * 60
"""No claim and no wait is longer: what seems to be was written while the clock was
wrong, and would keep a message back for as long as it was."""


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


def lease_over_sql() -> str:
    """Return SQL that holds where nobody has a row any more, nor makes it wait."""
    return (
        f"(lease_until IS NULL OR lease_until < {clock_sql()}"
        f" OR lease_until > {clock_sql(LONGEST_LEASE_S)})"
    )


def lease_over() -> Q:
    """Return the same as a condition for queries; one without a lease is not met."""
    return Q(lease_until__lt=clock()) | Q(lease_until__gt=clock(LONGEST_LEASE_S))

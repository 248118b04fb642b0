"""The sweep of due reminders among a million rows asks the partial index alone.

Reference 7, section 3.3 and P9: at most 1/50 of the work without it, here counted in
steps of SQLite's own machine, so that a busy computer changes nothing.
"""

import pytest
from django.db import connection

from maintenance.models import Account
from maintenance.services.reminders.claim import claim

pytestmark = [pytest.mark.django_db, pytest.mark.slow, pytest.mark.benchmark]
ROWS = 1_000_000
EVERY = 33  # 3 % are open, half of them due
COLUMNS = (
    "account_id, channel, step, due_on, send_at, zone_data, key, state, why, attempts,"
    " token, provider_id, body_hash, maybe_twice"
)


@pytest.fixture
def million(owner_row: Account) -> None:
    with connection.cursor() as cursor:
        # Names and numbers of this module only.
        numbers = f"SELECT generate_series AS n FROM generate_series(1, {ROWS})"  # noqa: S608
        if connection.vendor == "sqlite":
            numbers = (
                "WITH RECURSIVE each(n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM each"  # noqa: S608
                f" WHERE n < {ROWS}) SELECT n FROM each"
            )
        cursor.execute(
            f"INSERT INTO maintenance_message ({COLUMNS}) SELECT {owner_row.pk},"  # noqa: S608
            " 'email', 7, '2026-09-01',"
            f" CASE WHEN n % {2 * EVERY} = 0 THEN '2999-01-01 00:00:00'"
            f" ELSE '2026-01-01 00:00:00' END{_instant()}, '', 'k' || n,"
            f" CASE WHEN n % {EVERY} = 0 THEN 'due' ELSE 'sent' END,"
            f" '', 0, '', '', '', 0 FROM ({numbers}) AS numbers"
        )
        cursor.execute("ANALYZE maintenance_message")


@pytest.fixture
def owner_row(db: None) -> Account:
    return Account.objects.create(key="many", name="Many")


def _instant() -> str:
    return "::timestamptz" if connection.vendor == "postgresql" else ""


def take() -> list[int]:
    return claim(channels=["email"], keyed=[], token="t", lease_s=60, most=20)


def steps_of_taking() -> int:
    """Count the instructions that SQLite runs for one claim, in thousands."""
    counted = 0

    def count() -> int:
        nonlocal counted
        counted += 1
        return 0

    raw = connection.connection
    raw.set_progress_handler(count, 100)
    try:
        assert len(take()) == 20
    finally:
        raw.set_progress_handler(None, 0)
    return max(1, counted)


def test_the_sweep_uses_the_index_and_costs_a_fiftieth(million: None) -> None:
    if connection.vendor == "postgresql":
        assert "message_waiting" in plan_of_taking()
        return
    assert "USING INDEX message_waiting" in plan_of_taking()
    with_index = steps_of_taking()
    with connection.cursor() as cursor:
        cursor.execute("DROP INDEX message_waiting")
    without = steps_of_taking()
    print(f"one claim among {ROWS:,}: {with_index} against {without} hundred steps")
    assert without >= 50 * with_index


def plan_of_taking() -> str:
    """Return what the database says of the statement that claims."""
    told: list[str] = []

    def explain(run, sql, params, many, context):
        if "picked" in sql:
            how = (
                "EXPLAIN" if connection.vendor == "postgresql" else "EXPLAIN QUERY PLAN"
            )
            run(f"{how} {sql}", params, many, context)
            told.extend(str(row) for row in context["cursor"].fetchall())
        return run(sql, params, many, context)

    with connection.execute_wrapper(explain):
        take()
    return "\n".join(told)

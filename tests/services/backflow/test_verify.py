"""Whatever is changed in a signed test, by whatever way, is found."""

import random
from datetime import UTC, date, datetime, timedelta
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import connection, transaction

from maintenance.models import TestChain, TestRecord
from maintenance.services.accounts import local_account
from maintenance.services.backflow.chain import COLUMNS, columns_of, record_hash
from maintenance.services.backflow.drafts import begin_correction, begin_test
from maintenance.services.backflow.verify import verify_records
from tests.services.backflow.field_tests import (
    LATER,
    MORNING,
    keep_site,
    readings,
    signed,
)
from tests.signed_records import TABLE, without_triggers

CHANGES = 1000
ALL_COLUMNS = (*COLUMNS, "hash")
EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class UndoneError(Exception):
    """Takes one change back."""


@pytest.fixture
def records(office):
    """Nine records in two chains: failed, retested, corrected, with odd letters."""
    keep_site(office, "demo-row", demo=True)
    failed = signed(office, answers=readings("RP", check_1="4.9"))
    signed(office, now=LATER, answers=readings("RP", "final") | {"comments": "Ĝ „x“"})
    draft_id = begin_correction(office, record_id=failed.pk, now=LATER, actor="Ada")
    signed(office, draft_id=draft_id, answers={"county": "Quill"})
    for link in ("B2", "B3", "B4", "B5"):
        signed(office, link)
    for link in ("B1", "B2"):
        draft_id = begin_test(
            office, site_key="demo-row", link=link, now=MORNING, actor="Ünal"
        )
        signed(office, draft_id=draft_id)
    return list(TestRecord.objects.order_by("demo", "number"))


def texts():
    return [str(each) for each in verify_records().findings]


def flip(chance, pk, column):
    """Change one bit of what is stored; return whether there was one to change."""
    with connection.cursor() as cursor:
        cursor.execute(_asked(column), [pk])
        kind, raw = cursor.fetchone()
        if raw is None:
            return False
        value, as_stored = _with_one_bit_changed(chance, kind, raw)
        written = f"UPDATE {TABLE} SET {column} = {as_stored} WHERE id = %s"  # noqa: S608
        cursor.execute(written, [value, pk])
    return True


def _asked(column):
    """Ask for the kind of a stored value and, on SQLite, for its very bytes."""
    kind, raw = (
        (f"pg_typeof({column})::text", column)
        if connection.vendor == "postgresql"
        else (f"typeof({column})", f"CAST(CAST({column} AS TEXT) AS BLOB)")
    )
    return f"SELECT {kind}, {raw} FROM {TABLE} WHERE id = %s"  # noqa: S608


def _with_one_bit_changed(chance, kind, raw):
    match kind:
        case "integer" | "bigint":
            return int(raw) ^ (1 << chance.randrange(4)), "%s"
        case "text" if connection.vendor == "sqlite":
            whole = bytearray(raw)
            whole[chance.randrange(len(whole))] ^= 1 << chance.randrange(8)
            return bytes(whole), "CAST(%s AS TEXT)"
        case "boolean":
            return not raw, "%s"
        case "date":
            return date.fromordinal(raw.toordinal() ^ (1 << chance.randrange(8))), "%s"
        case "timestamp with time zone":
            after = (raw - EPOCH) // timedelta(microseconds=1)
            changed = after ^ (1 << chance.randrange(40))
            return EPOCH + timedelta(microseconds=changed), "%s"
        case "text" | "character varying":
            # This database takes no broken letters, and no NUL.
            letters = list(raw)
            at = chance.randrange(len(letters))
            letters[at] = chr(ord(letters[at]) ^ (1 << chance.randrange(7)))
            return "".join(letters).replace("\0", "\x01"), "%s"
    raise AssertionError(f"no bits are known of {kind}")


def test_of_a_thousand_changed_bits_a_thousand_are_found(records):
    assert texts() == []
    chance = random.Random(20261125)  # noqa: S311
    made, missed, columns = 0, [], set()
    with without_triggers(), connection.constraint_checks_disabled():
        while made < CHANGES:
            record, column = chance.choice(records), chance.choice(ALL_COLUMNS)
            try:
                with transaction.atomic():
                    try:
                        changed = flip(chance, record.pk, column)
                    except Exception:  # noqa: BLE001  (a key taken already: refused)
                        raise UndoneError from None
                    if changed:
                        made += 1
                        columns.add(column)
                        if not texts():
                            missed.append((record.number, column))
                    raise UndoneError
            except UndoneError:
                pass
    assert missed == []
    assert columns == set(ALL_COLUMNS)
    assert texts() == [], "untouched, it verifies"


def tampered(statement, *values):
    with without_triggers(), connection.cursor() as cursor:
        cursor.execute(statement.format(table=TABLE), values)
    return texts()


def test_an_untouched_chain_verifies(records):
    found = verify_records()
    assert (found.records, found.chains, found.findings) == (9, 2, [])


def test_a_changed_record_is_named(records):
    told = tampered("UPDATE {table} SET result = 'passed' WHERE id = %s", records[0].pk)
    assert told == ["account local: record 1 was changed after it was signed."]


def test_a_record_that_was_taken_out_is_named(records):
    with connection.constraint_checks_disabled(), connection.cursor() as cursor:
        cursor.execute("DELETE FROM maintenance_reportfiled")
    told = tampered("DELETE FROM {table} WHERE number = 5 AND NOT demo")
    assert told[0] == "account local: record 5 is missing."


def test_records_missing_at_the_end_are_named(records):
    told = tampered("DELETE FROM {table} WHERE number >= 6 AND NOT demo")
    assert told == [
        "account local: record 6 is missing, and so is every one up to record 7."
    ]


def test_a_record_written_anew_with_its_own_hash_is_found_at_the_next(records):
    forged = records[3]
    forged.result = "failed"
    told = tampered(
        "UPDATE {table} SET result = 'failed', hash = %s WHERE id = %s",
        record_hash(columns_of(forged)),
        forged.pk,
    )
    assert "account local: record 5 does not follow record 4" in told[0]


def test_two_records_in_each_others_place_are_found(records):
    for number, place in ((99, 3), (3, 4), (4, 3)):
        told = " ".join(
            tampered(
                "UPDATE {table} SET number = %s WHERE id = %s",
                number,
                records[place - 1].pk,
            )
        )
    assert "record 3 was changed" in told
    assert "record 4 was changed" in told


def test_a_chain_whose_end_was_changed_is_found(records):
    TestChain.objects.filter(demo=False).update(count=3)
    assert any("stands beyond the end" in text for text in texts())
    TestChain.objects.filter(demo=False).update(count=7, hash="0" * 64)
    assert any("not the one that the chain ends with" in text for text in texts())


def test_the_command_answers_and_fails_where_something_is_wrong(records):
    out = StringIO()
    call_command("verify_tests", stdout=out)
    assert out.getvalue().startswith("9 signed tests in 2 chains")
    tampered("UPDATE {table} SET signed_by = 'Bo' WHERE number = 2")
    out = StringIO()
    with pytest.raises(CommandError, match="2 findings"):
        call_command("verify_tests", account="local", stdout=out)
    assert "record 2 was changed after it was signed." in out.getvalue()


def test_the_command_looks_at_one_account_and_tells_how_far_it_is(office):
    for _ in range(2):
        signed(office, "B3")
    err, out = StringIO(), StringIO()
    call_command("verify_tests", account="local", stdout=out, stderr=err)
    assert out.getvalue().startswith("2 signed tests in 1 chain")
    seen: list[int] = []
    verify_records(local_account(), progress=seen.append)
    assert seen == []

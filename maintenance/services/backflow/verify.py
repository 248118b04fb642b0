"""Whether signed tests are still what was signed: each chain is worked out again."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import groupby
from typing import Final

from maintenance.models import Account, TestChain
from maintenance.services.backflow.chain import record_hash, stored_rows

REPORT_EVERY: Final = 1000
_Row = dict[str, str | None]


@dataclass(frozen=True, slots=True)
class Finding:
    """What is wrong with one record, or with the end of a chain."""

    chain: str
    number: int | None
    text: str

    def __str__(self) -> str:
        """Return one sentence."""
        where = "" if self.number is None else f"record {self.number} "
        return f"{self.chain}: {where}{self.text}"


@dataclass(slots=True)
class Verification:
    """What was looked at and what was found."""

    records: int = 0
    chains: int = 0
    findings: list[Finding] = field(default_factory=list)


@dataclass(slots=True)
class _Head:
    name: str
    count: int
    hash: str


def verify_records(
    account: Account | None = None,
    *,
    progress: Callable[[int], object] = lambda _: None,
) -> Verification:
    """Work every chain out again, or those of one account; in two queries and a few.

    ``progress`` is told the number of records, each `REPORT_EVERY`.
    """
    heads = _heads(account)
    found = Verification()

    def counted() -> Iterator[_Row]:
        for row in stored_rows(account.pk if account else None):
            found.records += 1
            if found.records % REPORT_EVERY == 0:
                progress(found.records)
            yield row

    def which(row: _Row) -> tuple[str, str]:
        return str(row["account_id"]), str(row["demo"])

    for key, rows in groupby(counted(), key=which):
        head = heads.pop(key, None)
        name = head.name if head else f"account {key[0]}"
        found.chains += 1
        found.findings += _follow(name, head, rows, key)
    for head in heads.values():
        found.chains += 1
        if head.count or head.hash:
            found.findings.append(_missing(head.name, 1, head.count))
    return found


def _heads(account: Account | None) -> dict[tuple[str, str], _Head]:
    rows = TestChain.objects.select_related("account")
    if account is not None:
        rows = rows.for_account(account)
    return {
        (str(row.account_id), "yes" if row.demo else "no"): _Head(
            f"account {row.account.key}{', demonstration' if row.demo else ''}",
            row.count,
            row.hash,
        )
        for row in rows
    }


def _follow(
    name: str, head: _Head | None, rows: Iterator[_Row], key: tuple[str, str]
) -> Iterator[Finding]:
    expected, before, at_head = 1, {""}, ""
    number = 0
    for row in rows:
        number = _number(row)
        if number > expected:
            yield _missing(name, expected, number - 1)
        elif number < expected:
            yield Finding(name, number, "is out of order: its number stands twice.")
        again = record_hash(row)
        if again != row["hash"]:
            yield Finding(name, number, "was changed after it was signed.")
        if number == expected and row["previous_hash"] not in before:
            yield Finding(
                name,
                number,
                f"does not follow record {number - 1} as that was signed: one of the "
                "two was changed, or put in.",
            )
        # A hash that was changed is told once, at its own record.
        before = {again, str(row["hash"])}
        expected = number + 1
        if head and number == head.count:
            at_head = head.hash
            if at_head not in before:
                yield Finding(name, number, "is not the one that the chain ends with.")
    yield from _end(name, head, number, key)


def _end(
    name: str, head: _Head | None, last: int, key: tuple[str, str]
) -> Iterator[Finding]:
    if head is None:
        yield Finding(
            name, None, "there are records, but nothing is kept of the chain."
        )
    elif last < head.count:
        yield _missing(name, last + 1, head.count)
    elif last > head.count:
        # One may have been signed while these were read.
        now = TestChain.objects.filter(
            account_id=int(key[0]), demo=key[1] == "yes", count__gte=last
        )
        if not now.exists():
            yield Finding(
                name,
                last,
                f"stands beyond the end of the chain, which is record {head.count}.",
            )


def _missing(name: str, first: int, last: int) -> Finding:
    if first >= last:
        return Finding(name, first, "is missing.")
    return Finding(name, first, f"is missing, and so is every one up to record {last}.")


def _number(row: _Row) -> int:
    try:
        return int(str(row["number"]))
    except ValueError:
        return 0

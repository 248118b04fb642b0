"""Criteria of field tests: sets of limits, each with its procedure and edition.

Limits depend on the edition of a procedure, so each verdict names the set that gave
it, and accounts may add sets. One set is shipped: the limits printed on a public
form, as read on the date that it carries. Later editions are known to judge check
valve 1 of an RP otherwise; their numbers were not at hand and are not shipped.
"""

import csv
import io
from collections.abc import Iterable
from datetime import date
from decimal import Decimal, InvalidOperation
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Final, cast

from maintenance.engine.backflow.limits import Asks, Criteria, Limit, Use, check_limit
from maintenance.engine.errors import InputError

if TYPE_CHECKING:
    from maintenance.engine.backflow.readings import Device

DEFAULT_CRITERIA: Final = "form-2002-09"
COLUMNS: Final = (
    "id",
    "procedure",
    "edition",
    "source",
    "checked",
    "device",
    "key",
    "asks",
    "value",
    "unit",
    "use",
    "limit_source",
)


@cache
def shipped_criteria() -> tuple[Criteria, ...]:
    """Return the sets that come with the tool.

    Returns
    -------
    tuple of Criteria
        In the order of the file [criteria].
    """
    text = files("maintenance.engine.backflow").joinpath("criteria.csv")
    return read_criteria(text.read_text("utf-8"))


def find_criteria(id: str) -> Criteria:  # noqa: A002  (the file's word)
    """Look a shipped set up.

    Parameters
    ----------
    id : str
        Such as `DEFAULT_CRITERIA` [text].

    Returns
    -------
    Criteria
        The set [criteria].

    Raises
    ------
    InputError
        If there is none; names those there are.
    """
    known = {criteria.id: criteria for criteria in shipped_criteria()}
    if id not in known:
        raise InputError(
            f'criteria: there is no set "{id[:60]}"; there is {", ".join(known)}',
            input="criteria",
        )
    return known[id]


def read_criteria(text: str) -> tuple[Criteria, ...]:
    """Read sets of limits from CSV with `COLUMNS`, one limit a line.

    Parameters
    ----------
    text : str
        The file [text].

    Returns
    -------
    tuple of Criteria
        In the order of the file [criteria].

    Raises
    ------
    InputError
        It names the line and what to mend.
    """
    reader = csv.DictReader(io.StringIO(text), strict=True)
    if tuple(reader.fieldnames or ()) != COLUMNS:
        raise InputError(
            f"criteria: the first line must read {','.join(COLUMNS)}", input="criteria"
        )
    sets: dict[tuple[str, ...], list[Limit]] = {}
    for row in reader:
        try:
            sets.setdefault(_head(row), []).append(_limit(row))
        except InputError as error:
            raise InputError(
                f"line {reader.line_num}: {error}", input="criteria"
            ) from error
    ids = [head[0] for head in sets]
    if len(ids) != len(set(ids)):
        raise InputError(
            "criteria: two sets carry one id; give each edition its own",
            input="criteria",
        )
    return tuple(_criteria(head, limits) for head, limits in sets.items())


def _head(row: dict[str, str]) -> tuple[str, ...]:
    if None in row.values() or None in row:
        raise InputError(f"criteria: give {len(COLUMNS)} columns")
    head = tuple(row[column].strip() for column in COLUMNS[:5])
    if not all(head):
        raise InputError("criteria: id, procedure, edition, source and checked are due")
    try:
        date.fromisoformat(head[4])
    except ValueError as error:
        raise InputError(
            f'criteria: write the date checked like 2026-11-25, not "{head[4][:20]}"'
        ) from error
    return head


def _limit(row: dict[str, str]) -> Limit:
    try:
        value = Decimal(row["value"]) if row["value"] else None
    except InvalidOperation as error:
        raise InputError(
            f'criteria: the value "{row["value"][:20]}" is no number; write one like 5.0'
        ) from error
    limit = Limit(
        device=cast("Device", row["device"]),
        key=row["key"],
        asks=cast("Asks", row["asks"]),
        value=value,
        unit=row["unit"],
        use=cast("Use", row["use"]),
        source=row["limit_source"],
    )
    check_limit(limit)
    return limit


def _criteria(head: tuple[str, ...], limits: list[Limit]) -> Criteria:
    return Criteria(
        id=head[0],
        procedure=head[1],
        edition=head[2],
        source=head[3],
        checked=date.fromisoformat(head[4]),
        limits=tuple(limits),
    )


def criteria_csv(sets: Iterable[Criteria]) -> str:
    """Write sets of limits as `read_criteria` reads them.

    Parameters
    ----------
    sets : iterable of Criteria
        The sets [criteria].

    Returns
    -------
    str
        The file [text].
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for each in sets:
        head = (each.id, each.procedure, each.edition, each.source, each.checked)
        for limit in each.limits:
            value = "" if limit.value is None else format(limit.value, "f")
            row = (limit.device, limit.key, limit.asks, value, limit.unit, limit.use)
            writer.writerow((*head, *row, limit.source))
    return out.getvalue()

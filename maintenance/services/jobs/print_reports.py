"""One site of the job that prints the signed test reports of a period."""

import logging
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from datetime import date, datetime
from pathlib import Path
from typing import Any

from maintenance.engine.errors import EngineError
from maintenance.models import Account
from maintenance.services.backflow.filing import order_of_fields
from maintenance.services.backflow.test_lines import RecordLine
from maintenance.services.backflow.test_payload import Payload
from maintenance.services.backflow.test_queries import payloads, tests_of_period
from maintenance.services.errors import ServiceError
from maintenance.services.jobs.pack_files import (
    forget_index,
    report_file,
    site_folder,
    write_index,
    write_whole,
)
from maintenance.services.jobs.values import PRINTED, Piece, Prepare, Store

_log = logging.getLogger(__name__)

Render = Callable[[Payload, Sequence[str], str, str], bytes]
"""Makes the PDF file of a signed test: what was known, order of fields, hash, paper."""


def printer(*, render: Render) -> Prepare:
    """Return who prints the pieces.

    A report that is there already is not made again: a site with many goes on where
    a worker was stopped. The index is written only with the count of the piece.
    """

    def prepare(
        account: Account, asked: Mapping[str, Any], sites: Sequence[str], now: datetime
    ) -> Store:
        (key,) = sites
        folder = site_folder(asked["job"], key)
        forget_index(folder)
        lines = tests_of_period(
            account,
            site_key=key,
            first=date.fromisoformat(asked["first"]),
            last=date.fromisoformat(asked["last"]),
        )
        if not lines:
            return lambda: Piece({"sites with nothing to print": 1})
        order = order_of_fields(account)
        rows, said = [], []
        for line in lines:
            fault = _print(account, line, folder, render, order, asked["paper"])
            rows.append(
                {**asdict(line), "tested_on": str(line.tested_on)}
                | {"printed": not fault}
            )
            said += [f"{key}: {fault}"] if fault else []
        return _store(key, folder, rows, said)

    return prepare


def _print(
    account: Account,
    line: RecordLine,
    folder: Path,
    render: Render,
    order: Sequence[str],
    paper: str,
) -> str:
    """Make the file of one report, unless it is there; return why not, in a sentence."""
    path = report_file(folder, line.hash)
    if path.exists():
        return ""
    payload = payloads(account, [line.id])[line.id]
    try:
        made = render(payload, order, line.hash, paper)
    except EngineError:
        raise
    except Exception:  # noqa: BLE001  (one report must not stop the others)
        _log.exception("The report of record %d could not be made.", line.id)
        return (
            f"The report of test {line.number} of {line.link} could not be made; the "
            "tool's log says more."
        )
    try:
        write_whole(path, made)
    except OSError as fault:
        raise ServiceError(_no_room(fault)) from fault
    return ""


def _store(
    key: str, folder: Path, rows: Sequence[Mapping[str, Any]], said: Sequence[str]
) -> Store:
    def store() -> Piece:
        try:
            write_index(folder, rows)
        except OSError as fault:
            return Piece({"refused": 1}, [f"{key}: {_no_room(fault)}"])
        printed = len(rows) - len(said)
        refused = {"reports refused": len(said)} if said else {}
        return Piece({PRINTED: printed, **refused}, said)

    return store


def _no_room(fault: OSError) -> str:
    return (
        f"The reports could not be written to the data folder ({fault.strerror}): make "
        "room there, then ask again."
    )

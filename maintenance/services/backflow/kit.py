"""Testers with their certificates and gauges with their calibration."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date, datetime
from typing import Any, TypeVar

from django.db import IntegrityError, transaction

from maintenance.models import Account, Gauge, Tester
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, add_rows, change_rows

_Kit = TypeVar("_Kit", Tester, Gauge)


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedTester:
    """A person who tests; the certificate is good from ``issued`` to ``ends``."""

    name: str
    certificate: str = ""
    issued: date | None = None
    ends: date | None = None
    licence: str = ""
    telephone: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedGauge:
    """A test gauge; its calibration is good from ``calibrated`` to ``ends``."""

    serial: str
    make: str = ""
    calibrated: date | None = None
    ends: date | None = None


def all_testers(account: Account) -> list[Tester]:
    """Return all testers by name, retired ones last, in one query."""
    rows = Tester.objects.for_account(account).order_by("name", "pk")
    return sorted(rows, key=lambda row: row.retired_at is not None)


def all_gauges(account: Account) -> list[Gauge]:
    """Return all gauges by serial, retired ones last, in one query."""
    rows = Gauge.objects.for_account(account).order_by("serial", "pk")
    return sorted(rows, key=lambda row: row.retired_at is not None)


def get_tester(account: Account, *, kit_id: int) -> Tester:
    """Return a tester, retired or not, in one query."""
    return _get(Tester, account, kit_id)


def get_gauge(account: Account, *, kit_id: int) -> Gauge:
    """Return a gauge, retired or not, in one query."""
    return _get(Gauge, account, kit_id)


def store_tester(
    account: Account,
    *,
    stated: StatedTester,
    kit_id: int | None = None,
    version: int = 0,
    now: datetime,
    actor: str,
) -> int:
    """Add a tester, or change one under the version that was seen; return its number.

    Signed tests keep what was stated when they were signed.

    Raises
    ------
    ServiceError
        If it has no name, or its certificate ends before it begins.
    ConflictError
        If someone else changed it meanwhile, or there is one like it.
    """
    if not stated.name.strip():
        raise ServiceError("name: write the name that stands on the certificate.")
    _refuse_backwards("certificate", stated.issued, stated.ends)
    columns = _stripped(asdict(stated))
    return _store(Tester, account, columns, kit_id, version, Act(actor, now))


def store_gauge(
    account: Account,
    *,
    stated: StatedGauge,
    kit_id: int | None = None,
    version: int = 0,
    now: datetime,
    actor: str,
) -> int:
    """Add a gauge, or change one under the version that was seen; return its number.

    Raises
    ------
    ServiceError
        If it has no serial number, or its calibration ends before it begins.
    ConflictError
        If someone else changed it meanwhile, or there is one like it.
    """
    if not stated.serial.strip():
        raise ServiceError("serial: write the serial number that stands on the gauge.")
    _refuse_backwards("calibration", stated.calibrated, stated.ends)
    columns = _stripped(asdict(stated))
    return _store(Gauge, account, columns, kit_id, version, Act(actor, now))


def set_tester_retired(
    account: Account, *, kit_id: int, retired: bool, now: datetime, actor: str
) -> None:
    """Take a tester off the list, or put one back on it."""
    _retire(Tester, _get(Tester, account, kit_id), retired, Act(actor, now))


def set_gauge_retired(
    account: Account, *, kit_id: int, retired: bool, now: datetime, actor: str
) -> None:
    """Take a gauge off the list, or put one back on it."""
    _retire(Gauge, _get(Gauge, account, kit_id), retired, Act(actor, now))


@transaction.atomic
def _store(
    model: type[_Kit],
    account: Account,
    columns: Mapping[str, Any],
    pk: int | None,
    version: int,
    act: Act,
) -> int:
    row = model(account=account) if pk is None else _get(model, account, pk)
    if pk is not None and version != row.version:
        raise _changed(row)
    if pk is not None and all(getattr(row, n) == v for n, v in columns.items()):
        return pk
    for name, value in columns.items():
        setattr(row, name, value)
    try:
        with transaction.atomic():
            if pk is None:
                add_rows(model, [row], act)
            else:
                _claim(model, row)
                change_rows(model, [row], columns, act)
    except IntegrityError as twin:
        raise ConflictError(
            f'There is one like "{row}" already, on the list or retired: change or '
            "restore that one."
        ) from twin
    return row.pk


@transaction.atomic
def _retire(model: type[_Kit], row: _Kit, retired: bool, act: Act) -> None:
    if (row.retired_at is not None) == retired:
        return
    _claim(model, row)
    row.retired_at = act.now if retired else None
    change_rows(model, [row], ["retired_at"], act)


def _claim(model: type[_Kit], row: _Kit) -> None:
    claimed = model.objects.filter(pk=row.pk, version=row.version)
    if claimed.update(version=row.version + 1) != 1:
        raise _changed(row)
    row.version += 1


def _get(model: type[_Kit], account: Account, pk: int) -> _Kit:
    row = model.objects.for_account(account).filter(pk=pk).first()
    if row is None:
        kind = model._meta.verbose_name  # noqa: SLF001  (public all the same)
        raise NotFoundError(f"There is no such {kind} here: see the list.")
    return row


def _changed(row: Tester | Gauge) -> ConflictError:
    return ConflictError(
        f'"{row}" was changed by someone else since you opened it: open it again and '
        "make your change there."
    )


def _refuse_backwards(what: str, begins: date | None, ends: date | None) -> None:
    if begins is not None and ends is not None and ends < begins:
        raise ServiceError(
            f"ends: the {what} cannot end on {ends}, before it begins on {begins}."
        )


def _stripped(columns: Mapping[str, Any]) -> dict[str, Any]:
    return {
        name: " ".join(value.split()) if isinstance(value, str) else value
        for name, value in columns.items()
    }

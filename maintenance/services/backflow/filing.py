"""Reports that were handed in, and the order in which an authority wants its fields."""

from datetime import date, datetime, timedelta

from django.db import transaction
from django.db.models import F

from maintenance.engine.backflow.report_fields import ReportField, in_order
from maintenance.engine.errors import InputError
from maintenance.models import Account, ReportFiled, ReportOrder
from maintenance.services.backflow.drafts import get_record
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.weather.site_time import today_at


@transaction.atomic
def record_filed(
    account: Account,
    *,
    record_id: int,
    filed_on: date,
    to: str,
    note: str = "",
    now: datetime,
    actor: str,
) -> int:
    """Record that a test's report was handed in; the same told twice is kept once."""
    record = get_record(account, record_id)
    if not to.strip():
        raise ServiceError(
            "Write whom the report was handed to, such as the water office."
        )
    if filed_on < record.tested_on:
        raise ServiceError(
            f"The report was handed in on {filed_on}, before the test of "
            f"{record.tested_on}: look at the day."
        )
    if filed_on > today_at(record.device.site, now) + timedelta(days=1):
        raise ServiceError(f"The day {filed_on} is still to come: look at it again.")
    again = ReportFiled.objects.filter(
        record=record, filed_on=filed_on, to=to.strip(), undone_at=None
    ).first()
    if again is not None:
        return again.pk
    filed = ReportFiled(
        record=record,
        filed_on=filed_on,
        to=to.strip(),
        note=note.strip(),
        reported_by=actor,
        reported_at=now,
    )
    add_rows(ReportFiled, [filed], Act(actor, now))
    return filed.pk


@transaction.atomic
def undo_filed(
    account: Account, *, record_id: int, filed_id: int, now: datetime, actor: str
) -> None:
    """Take back that a report was handed in; it stays in the history."""
    record = get_record(account, record_id)
    filed = ReportFiled.objects.filter(record=record, pk=filed_id).first()
    if filed is None:
        raise NotFoundError("There is no such entry at this test.")
    if filed.undone_at is None:
        filed.undone_at = now
        change_rows(ReportFiled, [filed], ["undone_at"], Act(actor, now))


def report_order(account: Account) -> tuple[ReportField, ...]:
    """Return the fields of a report in the account's order, in one query."""
    kept = ReportOrder.objects.for_account(account).first()
    keys = kept.order.get("order", []) if kept else []
    try:
        return in_order(keys)
    except InputError:
        # A field of an older order may be gone: the others keep their places.
        known = [key for key in dict.fromkeys(keys) if _is_field(key)]
        return in_order(known)


def order_of_fields(account: Account) -> list[str]:
    """Return the keys of a report's fields in the account's order, in one query."""
    return [field.key for field in report_order(account)]


@transaction.atomic
def move_field(
    account: Account, *, key: str, place: int, now: datetime, actor: str
) -> None:
    """Put a field at a place of the order, 1 being the first."""
    if not _is_field(key):
        raise NotFoundError(f'A report has no field "{key[:40]}".')
    row = _held_order(account, now, actor)
    keys = order_of_fields(account)
    if not 1 <= place <= len(keys):
        raise ServiceError(
            f"{place} is no place in the report: write a number from 1 to {len(keys)}."
        )
    keys.remove(key)
    keys.insert(place - 1, key)
    row.order = {"order": keys}
    change_rows(ReportOrder, [row], ["order"], Act(actor, now))


@transaction.atomic
def reset_order(account: Account, *, now: datetime, actor: str) -> None:
    """Take our own order again."""
    row = _held_order(account, now, actor)
    if row.order:
        row.order = {}
        change_rows(ReportOrder, [row], ["order"], Act(actor, now))


def _held_order(account: Account, now: datetime, actor: str) -> ReportOrder:
    """Hold the account for this transaction: two moves come one after the other."""
    Account.objects.filter(pk=account.pk).update(name=F("name"))
    row = ReportOrder.objects.for_account(account).first()
    if row is None:
        row = ReportOrder(account=account, order={})
        add_rows(ReportOrder, [row], Act(actor, now))
    return row


def _is_field(key: str) -> bool:
    try:
        in_order([key])
    except InputError:
        return False
    return True

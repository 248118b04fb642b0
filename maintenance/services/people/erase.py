"""A person is erased: name and address go, what was recorded stays whole."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from allauth.account.models import EmailAddress
from django.contrib.auth import SESSION_KEY
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.db import models, transaction
from django.db.models import Q

from maintenance.models import Account, Grant, Invitation, Member, TestRecord
from maintenance.services.inventory.rows import Act, change_rows
from maintenance.services.people.hold import (
    get_member,
    hold_people,
    refuse_without_owner,
)
from maintenance.services.people.tables import name_columns_of, tables_of
from maintenance.services.reminders.forget import forget_reminded
from maintenance.services.visits.saved_filters import forget_filters_of

ERASED: Final = "a person since erased"
NO_ADDRESS: Final = "erased@invalid.invalid"
NEVER_CHANGED: Final[tuple[type[models.Model], ...]] = (TestRecord,)


@dataclass(frozen=True, slots=True)
class Named:
    """On how many records a name stands: those it goes from, those it stays on."""

    goes: int
    stays: int


def named_on(account: Account, *, member: str) -> Named:
    """Count the records of an account on which a member's name stands."""
    row = get_member(account, member, or_gone=True)
    goes = stays = 0
    for table in tables_of(account):
        columns = table.name_columns
        if not columns:
            continue
        named = Q()
        for column in columns:
            named |= Q(**{column: row.name})
        found = table.rows.filter(named).count()
        if table.model in NEVER_CHANGED:
            stays += found
        else:
            goes += found
    return Named(goes, stays)


def erase_member(account: Account, *, member: str, now: datetime, actor: str) -> None:
    """Take a person's name and address out of an account, for ever.

    The sign-in goes as well, unless the person belongs to another account. Notes that
    people wrote are theirs, and stay as written; a signed test stays as it was signed,
    since the law asks who tested and its hash would tell any change.

    Raises
    ------
    NotFoundError
        If there is no such member.
    ServiceError
        If the account would lose its only owner.
    """
    with transaction.atomic():
        hold_people(account)
        row = get_member(account, member, or_gone=True)
        refuse_without_owner(account, but=row)
        name, user = row.name, row.user
        addresses = _addresses(user) if user else set()
        for rows in _all_rows(account):
            if rows.model in NEVER_CHANGED:
                continue
            _rename(rows, name)
            if user and hasattr(rows.model, "history_user"):
                rows.filter(history_user=user).update(history_user=None)
        _forget_invitations(account, addresses)
        by = ERASED if actor == name else actor
        forget_filters_of(account, worker=name)
        forget_reminded(
            account, name=name, addresses=addresses, erased=ERASED, now=now, actor=by
        )
        Grant.objects.filter(member=row).update(revoked_at=now)
        row.name, row.user = ERASED, None
        row.removed_at = row.erased_at = now
        change_rows(
            Member, [row], ["name", "user", "removed_at", "erased_at"], Act(by, now)
        )
        row.history.update(name=ERASED, user=None)
        if user and not user.memberships.exists():
            _delete_user(user)


def _all_rows(account: Account) -> Iterator[models.QuerySet[Any]]:
    for table in tables_of(account):
        yield table.rows
        if table.history is not None:
            yield table.history


def _rename(rows: models.QuerySet[Any], name: str) -> None:
    for column in name_columns_of(rows):
        rows.filter(**{column: name}).order_by().update(**{column: ERASED})


def _addresses(user: User) -> set[str]:
    told = EmailAddress.objects.filter(user=user).values_list("email", flat=True)
    return {user.email.lower(), *(email.lower() for email in told)}


def _forget_invitations(account: Account, addresses: set[str]) -> None:
    ids = [
        pk
        for pk, email in Invitation.objects.for_account(account).values_list(
            "pk", "email"
        )
        if email.lower() in addresses
    ]
    waiting = Invitation.objects.filter(pk__in=ids).waiting()
    waiting.update(withdrawn_at=models.F("made_at"))
    Invitation.objects.filter(pk__in=ids).update(email=NO_ADDRESS)
    kept: Any = Invitation.history
    kept.filter(id__in=ids).update(email=NO_ADDRESS)


def _delete_user(user: User) -> None:
    """Delete a sign-in, with its sessions: those hold the address as well."""
    for session in Session.objects.iterator():
        if session.get_decoded().get(SESSION_KEY) == str(user.pk):
            session.delete()
    user.delete()

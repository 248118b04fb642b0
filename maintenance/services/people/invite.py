"""Invitations: made, taken back, found again by their link."""

import hashlib
import secrets
from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.db import transaction

from maintenance.models import Account, Invitation, Member, Site
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.people.hold import hold_people
from maintenance.services.people.roles import ROLES, Role

HOLDS_FOR: Final = timedelta(days=14)
_TOKEN_BYTES: Final = 32
GONE: Final = (
    "This invitation does not hold any more: it was used, taken back or is older "
    "than two weeks. Ask for a new one."
)


@dataclass(frozen=True, slots=True)
class InvitationLine:
    """An invitation as it is shown."""

    id: int
    email: str
    role: Role
    account: str
    invited_by: str
    ends_at: datetime


def invite(
    account: Account,
    *,
    email: str,
    role: str,
    site_keys: Collection[str] = (),
    now: datetime,
    actor: str,
) -> str:
    """Invite a person and return the secret of the link; it is kept nowhere.

    An earlier invitation of the same address that still waits is taken back.

    Raises
    ------
    ServiceError
        If the address is none, the role does not exist here, or the sites do not fit
        the role.
    ConflictError
        If the person belongs to the account already.
    """
    address = email.strip().lower()
    _look_at(account, address, role, site_keys)
    secret = secrets.token_urlsafe(_TOKEN_BYTES)
    act = Act(actor, now)
    with transaction.atomic():
        hold_people(account)
        standing = Member.objects.for_account(account).standing()
        if standing.filter(user__email__iexact=address).exists():
            raise ConflictError(
                f"{address} belongs to this account already: change the role in the "
                "list of people."
            )
        former = list(
            Invitation.objects.for_account(account)
            .waiting()
            .filter(email__iexact=address)
        )
        for row in former:
            row.withdrawn_at = now
        change_rows(Invitation, former, ["withdrawn_at"], act)
        row = Invitation(
            account=account,
            email=address,
            role=role,
            site_keys=sorted(site_keys),
            token_hash=hash_of(secret),
            invited_by=actor,
            made_at=now,
            ends_at=now + HOLDS_FOR,
        )
        add_rows(Invitation, [row], act)
    return secret


def withdraw_invitation(
    account: Account, *, invitation: int, now: datetime, actor: str
) -> None:
    """Take an invitation back: its link leads nowhere from now on."""
    with transaction.atomic():
        hold_people(account)
        rows = list(
            Invitation.objects.for_account(account).waiting().filter(pk=invitation)
        )
        if not rows:
            raise NotFoundError("There is no such invitation waiting.")
        rows[0].withdrawn_at = now
        change_rows(Invitation, rows, ["withdrawn_at"], Act(actor, now))


def waiting_invitations(account: Account, *, now: datetime) -> list[InvitationLine]:
    """Return the invitations that can still be accepted, the newest first."""
    rows = Invitation.objects.for_account(account).waiting().filter(ends_at__gt=now)
    return [_line(row) for row in rows.select_related("account").order_by("-made_at")]


def find_invitation(secret: str, *, now: datetime) -> InvitationLine:
    """Return the invitation of a link, or refuse if it does not hold any more."""
    return _line(invitation_row(secret, now=now))


def invitation_row(secret: str, *, now: datetime) -> Invitation:
    """Return the row of a link that holds, or refuse."""
    row = (
        Invitation.objects.waiting()
        .filter(token_hash=hash_of(secret), ends_at__gt=now)
        .select_related("account")
        .first()
    )
    if row is None:
        raise NotFoundError(GONE)
    return row


def hash_of(secret: str) -> str:
    """Return what is kept of a link; the secret is random, so no salt is needed."""
    return hashlib.sha256(secret.encode("utf-8", "replace")).hexdigest()


def refuse_sites(
    account: Account, *, role: str, site_keys: Collection[str], name: str
) -> None:
    """Refuse sites for one who is no customer, and those that are not there."""
    if role not in ROLES:
        raise ServiceError(f'There is no role "{role}": choose one of the list.')
    if role == "customer" and account.kind != "contractor":
        raise ServiceError(
            f"{account.name} keeps its own sites and has no customers: choose another "
            "role, or say first that it is a contractor's account."
        )
    if role != "customer" and site_keys:
        raise ServiceError(
            f"{name} sees every site in the role of {role}: leave the sites away, or "
            "choose customer."
        )
    there = Site.objects.for_account(account).filter(key__in=list(site_keys))
    if there.count() != len(set(site_keys)):
        raise NotFoundError("One of these sites is not kept here: see the list.")


def _look_at(
    account: Account, address: str, role: str, site_keys: Collection[str]
) -> None:
    try:
        validate_email(address)
    except ValidationError as fault:
        raise ServiceError(
            f'"{address}" is no e-mail address: write it as name@example.org.'
        ) from fault
    refuse_sites(account, role=role, site_keys=site_keys, name=address)


def _line(row: Invitation) -> InvitationLine:
    return InvitationLine(
        id=row.pk,
        email=row.email,
        role=row.role,  # type: ignore[arg-type]
        account=row.account.name,
        invited_by=row.invited_by,
        ends_at=row.ends_at,
    )

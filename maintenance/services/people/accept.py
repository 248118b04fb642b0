"""An invitation is accepted: the person becomes a member, once."""

import secrets
from datetime import datetime

from allauth.account.models import EmailAddress
from django.contrib.auth import get_user_model
from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction

from maintenance.models import Account, Grant, Invitation, Member, Site
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.people.hold import hold_people
from maintenance.services.people.invite import GONE, invitation_row


def has_user(email: str) -> bool:
    """Tell whether someone signs in with an address already."""
    return User.objects.filter(email__iexact=email).exists()


def accept_as_new(secret: str, *, name: str, password: str, now: datetime) -> int:
    """Make the invited person's sign-in and membership; return the user's number.

    Raises
    ------
    NotFoundError
        If the invitation does not hold any more.
    ConflictError
        If someone signs in with this address already.
    ServiceError
        If the name or the password will not do.
    """
    with transaction.atomic():
        row = invitation_row(secret, now=now)
        if has_user(row.email):
            raise ConflictError(
                f"Someone signs in as {row.email} already: sign in, then open the "
                "link of the invitation again."
            )
        user = make_user(row.email, password=password)
        _accept(row, user, name=name, now=now)
    return user.pk


def accept_as_known(secret: str, *, user_id: int, name: str, now: datetime) -> None:
    """Make a signed-in person a member, if the invitation went to their address."""
    with transaction.atomic():
        row = invitation_row(secret, now=now)
        theirs = EmailAddress.objects.filter(user_id=user_id, verified=True)
        if not theirs.filter(email__iexact=row.email).exists():
            raise ServiceError(
                f"This invitation went to {row.email}, which is no address of yours: "
                "sign in with it, or ask for an invitation to yours."
            )
        _accept(row, User.objects.get(pk=user_id), name=name, now=now)


def make_user(email: str, *, password: str) -> User:
    """Make a sign-in whose address is known to be the person's own."""
    user = get_user_model()(email=email, username=f"u-{secrets.token_hex(12)}")
    try:
        validate_password(password, user)
        user.set_password(password)
        user.full_clean()
    except ValidationError as fault:
        raise ServiceError(" ".join(fault.messages)) from fault
    user.save()
    EmailAddress.objects.create(user=user, email=email, primary=True, verified=True)
    return user


def add_member(
    account: Account, user: User, *, name: str, role: str, act: Act
) -> Member:
    """Make a person a member, or one again who was; the account must be held."""
    given = " ".join(name.split())
    if not given:
        raise ServiceError("Your name is missing: write it as it shall stand on lists.")
    taken = Member.objects.for_account(account).filter(name__iexact=given)
    former = Member.objects.for_account(account).filter(user=user).first()
    if former is not None:
        if former.removed_at is None:
            raise ConflictError("You belong to this account already.")
        former.role, former.removed_at, former.joined_at = role, None, act.now
        change_rows(Member, [former], ["role", "removed_at", "joined_at"], act)
        return former
    if taken.exists():
        raise ConflictError(
            f'"{given}" stands on records of this account for someone else: add a '
            "letter or your second name."
        )
    row = Member(
        account=account,
        user=user,
        key=f"p-{secrets.token_hex(12)}",
        name=given,
        role=role,
        joined_at=act.now,
    )
    add_rows(Member, [row], act)
    return row


def _accept(row: Invitation, user: User, *, name: str, now: datetime) -> None:
    account, act = row.account, Act(" ".join(name.split()), now)
    hold_people(account)
    # Two who press at the same moment: one of them changes the row, the other none.
    still = Invitation.objects.waiting().filter(pk=row.pk)
    if not still.update(accepted_at=now):
        raise NotFoundError(GONE)
    member = add_member(account, user, name=name, role=row.role, act=act)
    row.accepted_at = now
    change_rows(Invitation, [row], ["accepted_at"], act)
    sites = Site.objects.for_account(account).filter(key__in=row.site_keys)
    known = set(
        Grant.objects.standing().filter(member=member).values_list("site_id", flat=True)
    )
    add_rows(
        Grant,
        [Grant(member=member, site=site) for site in sites if site.pk not in known],
        act,
    )

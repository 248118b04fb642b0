"""The members of an account: listed, given another role or other sites, removed."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from maintenance.models import Account, Grant, Member, Site
from maintenance.models.accounts import KINDS
from maintenance.services.errors import ServiceError
from maintenance.services.inventory.rows import Act, add_rows, change_rows
from maintenance.services.people.hold import (
    get_member,
    hold_people,
    refuse_without_owner,
)
from maintenance.services.people.invite import refuse_sites
from maintenance.services.people.roles import Role


@dataclass(frozen=True, slots=True)
class MemberLine:
    """A member as the owner sees them."""

    key: str
    name: str
    email: str
    role: Role
    joined_at: datetime
    site_keys: tuple[str, ...]


def members(account: Account) -> list[MemberLine]:
    """Return the standing members by name, in two queries."""
    rows = Member.objects.for_account(account).standing().select_related("user")
    granted: dict[int, list[str]] = {}
    for member_id, key in (
        Grant.objects.for_account(account)
        .standing()
        .values_list("member_id", "site__key")
    ):
        granted.setdefault(member_id, []).append(key)
    return [
        _line(row, granted.get(row.pk, ()))
        for row in sorted(rows, key=lambda row: row.name.lower())
    ]


def former_members(account: Account) -> list[MemberLine]:
    """Return those who were removed and whose names still stand on records."""
    rows = Member.objects.for_account(account).filter(erased_at=None)
    return [
        _line(row, ())
        for row in rows.exclude(removed_at=None).select_related("user").order_by("name")
    ]


def change_role(
    account: Account,
    *,
    member: str,
    role: str,
    site_keys: Collection[str] = (),
    now: datetime,
    actor: str,
) -> None:
    """Give a member another role, and a customer the sites that they may see.

    Raises
    ------
    NotFoundError
        If there is no such member or site.
    ServiceError
        If the role does not fit, or the account would lose its only owner.
    """
    act = Act(actor, now)
    with transaction.atomic():
        hold_people(account)
        row = get_member(account, member)
        refuse_sites(account, role=role, site_keys=site_keys, name=row.name)
        if role != "owner":
            refuse_without_owner(account, but=row)
        if row.role != role:
            row.role = role
            change_rows(Member, [row], ["role"], act)
        _grant(account, row, set(site_keys), act)


def remove_member(account: Account, *, member: str, now: datetime, actor: str) -> None:
    """Take a member out: they see nothing from the next request on."""
    act = Act(actor, now)
    with transaction.atomic():
        hold_people(account)
        row = get_member(account, member)
        refuse_without_owner(account, but=row)
        row.removed_at = now
        change_rows(Member, [row], ["removed_at"], act)
        _grant(account, row, set(), act)


def change_account(
    account: Account, *, name: str, kind: str, now: datetime, actor: str
) -> None:
    """Give an account another name, or say whose sites it keeps."""
    given = " ".join(name.split())
    if not given:
        raise ServiceError("The account needs a name: write one.")
    if kind not in KINDS:
        raise ServiceError("Say whether these are your own sites or your customers'.")
    with transaction.atomic():
        hold_people(account)
        customers = Member.objects.for_account(account).standing()
        if kind == "owner" and customers.filter(role="customer").exists():
            raise ServiceError(
                "There are customers in this account: remove them first, or leave it "
                "a contractor's."
            )
        row = Account.objects.get(pk=account.pk)
        row.name, row.kind = given, kind
        change_rows(Account, [row], ["name", "kind"], Act(actor, now))


def _line(row: Member, site_keys: Collection[str]) -> MemberLine:
    return MemberLine(
        key=row.key,
        name=row.name,
        email=row.user.email if row.user else "",
        role=row.role,  # type: ignore[arg-type]
        joined_at=row.joined_at,
        site_keys=tuple(sorted(site_keys)),
    )


def _grant(account: Account, row: Member, keys: set[str], act: Act) -> None:
    held = list(Grant.objects.standing().filter(member=row).select_related("site"))
    ended = [grant for grant in held if grant.site.key not in keys]
    for grant in ended:
        grant.revoked_at = act.now
    change_rows(Grant, ended, ["revoked_at"], act)
    known = {grant.site.key for grant in held}
    sites = Site.objects.for_account(account).filter(key__in=keys - known)
    add_rows(Grant, [Grant(member=row, site=site) for site in sites], act)

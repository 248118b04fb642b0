"""Who is asking: a person's standing in the account that they work in."""

from dataclasses import dataclass

from maintenance.models import Account, Grant, Member
from maintenance.services.people.roles import MAY, Permission, Role


@dataclass(frozen=True, slots=True)
class Person:
    """A member as others know them; ``key`` stays when the name is erased."""

    key: str
    name: str


@dataclass(frozen=True, slots=True)
class Viewer:
    """Who asks, for which account, as what; ``site_keys`` is None for all sites.

    ``person`` is None in the mode of one person on this machine.
    """

    account: Account
    person: Person | None
    role: Role
    site_keys: frozenset[str] | None = None

    def may(self, permission: Permission) -> bool:
        """Tell whether the role has a permission."""
        return permission in MAY[self.role]


@dataclass(frozen=True, slots=True)
class AccountLine:
    """An account that a person belongs to."""

    key: str
    name: str
    role: Role


def viewer_alone(account: Account) -> Viewer:
    """Return the one person of this machine, who may do everything."""
    return Viewer(account=account, person=None, role="owner")


def viewer_of_user(user_id: int, *, account_key: str = "") -> Viewer | None:
    """Return a signed-in person's standing, in one query (two for a customer).

    The account they chose counts as long as they belong to it; without a choice it
    is the one they joined first. None where they belong to no account.
    """
    mine = Member.objects.standing().filter(user_id=user_id)
    rows = list(mine.select_related("account").order_by("joined_at", "pk"))
    chosen = [row for row in rows if row.account.key == account_key]
    row = next(iter(chosen or rows), None)
    if row is None:
        return None
    account, keys = row.account, None
    role: Role = row.role  # type: ignore[assignment]
    if role == "customer":
        keys = frozenset(
            Grant.objects.standing()
            .filter(member=row)
            .values_list("site__key", flat=True)
        )
        account.site_keys = keys
    person = Person(row.key, row.name)
    return Viewer(account=account, person=person, role=role, site_keys=keys)


def accounts_of_user(user_id: int) -> list[AccountLine]:
    """Return the accounts that a person belongs to, in one query."""
    rows = Member.objects.standing().filter(user_id=user_id).select_related("account")
    return [
        AccountLine(row.account.key, row.account.name, row.role)  # type: ignore[arg-type]
        for row in rows.order_by("account__name", "pk")
    ]

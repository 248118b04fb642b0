"""An account's people are changed by one writer at a time."""

from django.db.models import F

from maintenance.models import Account, Member
from maintenance.services.errors import NotFoundError, ServiceError


def hold_people(account: Account) -> None:
    """Hold an account's people until the transaction ends.

    An update that changes nothing makes the next one wait: so two owners cannot
    take each other's role away at the same moment.
    """
    Account.objects.filter(pk=account.pk).update(kind=F("kind"))


def get_member(account: Account, key: str, *, or_gone: bool = False) -> Member:
    """Return a standing member, or one who was removed too, or refuse."""
    rows = Member.objects.for_account(account).filter(key=key, erased_at=None)
    row = (rows if or_gone else rows.standing()).first()
    if row is None:
        raise NotFoundError("There is no such person here: see the list of people.")
    return row


def refuse_without_owner(account: Account, *, but: Member) -> None:
    """Refuse what would leave an account without an owner; it must be held."""
    owners = Member.objects.for_account(account).standing().filter(role="owner")
    if but.role == "owner" and not owners.exclude(pk=but.pk).exists():
        raise ServiceError(
            f"{but.name} is the only owner: make someone else an owner first."
        )

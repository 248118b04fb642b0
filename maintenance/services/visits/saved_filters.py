"""Choices of visits that a person comes back to."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from urllib.parse import urlencode

from django.db import IntegrityError, transaction

from maintenance.models import Account, SavedFilter
from maintenance.services.errors import ConflictError, NotFoundError
from maintenance.services.inventory.rows import Act, add_rows
from maintenance.services.visits.choose import VisitChoice
from maintenance.services.visits.holding import word_of


@dataclass(frozen=True, slots=True)
class KeptFilter:
    """A choice under its name, as the query of an address."""

    pk: int
    name: str
    question: str


def kept_filters(account: Account) -> list[KeptFilter]:
    """Return the choices that were kept, by name, in one query."""
    rows = SavedFilter.objects.for_account(account).order_by("name", "pk")
    return [KeptFilter(*row) for row in rows.values_list("pk", "name", "question")]


def keep_filter(
    account: Account, *, name: str, choice: VisitChoice, now: datetime, actor: str
) -> None:
    """Keep a choice under a name.

    Raises
    ------
    ServiceError
        If it has no name.
    ConflictError
        If another stands under that name.
    """
    named = word_of(name, "Write a name for this choice.")
    row = SavedFilter(account=account, name=named, question=choice.question)
    try:
        with transaction.atomic():
            add_rows(SavedFilter, [row], Act(actor, now))
    except IntegrityError as fault:
        raise ConflictError(
            f'Another choice is kept as "{named}": write another name, or forget '
            "that one first."
        ) from fault


@transaction.atomic
def forget_filter(account: Account, *, filter_id: int) -> None:
    """Forget a choice; the history keeps it."""
    row = SavedFilter.objects.for_account(account).filter(pk=filter_id).first()
    if row is None:
        raise NotFoundError("There is no such choice here.")
    row.delete()


def forget_filters_of(account: Account, *, worker: str) -> None:
    """Forget the choices that ask for one person, and what the history kept of them."""
    asked = urlencode({"worker": worker})
    rows = SavedFilter.objects.for_account(account)
    ids = [
        pk
        for pk, question in rows.values_list("pk", "question")
        if asked in question.split("&")
    ]
    history: Any = SavedFilter.history
    rows.filter(pk__in=ids).delete()
    history.filter(id__in=ids).delete()

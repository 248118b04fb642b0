"""The link that ends all reminders to a person, with one click and no signing in.

It is worked out anew from the secret key for each letter; the row keeps its hash only.
"""

import hashlib
from datetime import datetime

from django.conf import settings
from django.db import transaction
from django.db.models import QuerySet
from django.utils.crypto import salted_hmac

from maintenance.models import Message, Recipient
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory.rows import Act, change_rows


def hash_of(token: str) -> str:
    """Return what is kept of a secret."""
    return hashlib.sha256(token.encode()).hexdigest()


def stop_token(recipient_id: int) -> str:
    """Return the secret of a person's link: 256 bits, the same each time."""
    return salted_hmac(
        "maintenance.reminders.stop", str(recipient_id), algorithm="sha256"
    ).hexdigest()


def stop_address(recipient_id: int) -> str:
    """Return the whole link as it stands in a letter."""
    return f"{settings.PUBLIC_URL}/stop/{stop_token(recipient_id)}/"


def person_behind(token: str) -> Recipient:
    """Return the person whose link it is.

    Raises
    ------
    NotFoundError
        If it is nobody's.
    """
    found = Recipient.objects.standing().filter(stop_hash=hash_of(token)).first()
    if found is None:
        raise NotFoundError("This link stops nothing: it is old or incomplete.")
    return found


@transaction.atomic
def stop_by_link(token: str, *, now: datetime) -> Recipient:
    """End all reminders to the person whose link it is; twice changes nothing more.

    Raises
    ------
    NotFoundError
        If it is nobody's.
    """
    person = person_behind(token)
    if person.stopped_at is None:
        stop(person, Act(f"{person.name} by the link in a letter", now))
    return person


def stop(person: Recipient, act: Act) -> None:
    """End all reminders to a person, those that wait with them."""
    person.stopped_at = act.now
    person.version += 1
    change_rows(Recipient, [person], ["stopped_at", "version"], act)
    cancel_waiting(Message.objects.filter(recipient=person), "Reminders were stopped.")


def cancel_waiting(messages: QuerySet[Message], why: str) -> None:
    """Cancel what was not sent yet; what is being sent just now is left to its worker."""
    messages.filter(state="due").update(
        state="cancelled", why=why, token="", lease_until=None
    )

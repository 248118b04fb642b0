"""Letters to people; what cannot be sent is told, and nothing else fails by it."""

import logging

from django.core.mail import send_mail

_LOG = logging.getLogger(__name__)


def send_invitation(*, email: str, account: str, invited_by: str, link: str) -> bool:
    """Send an invitation's link; tell whether the letter left."""
    text = (
        f"{invited_by} invites you to {account}, where the winter work on irrigation "
        f"systems is planned and recorded.\n\nOpen this link within two weeks:\n\n"
        f"{link}\n\nThe link works once. If you expect no invitation, do nothing.\n"
    )
    try:
        send_mail(f"Invitation to {account}", text, None, [email])
    except OSError as fault:  # smtplib's errors are OSErrors
        _LOG.error("An invitation could not be sent (%s).", type(fault).__name__)
        return False
    return True

"""Letters through Django's mail backends: console, files, SMTP, or any other.

A mail server neither takes a key only once nor can be asked what became of a letter.
So each attempt carries the same Message-ID and subject, and a reply that never came is
told as what it is.
"""

import hashlib
import smtplib
from collections.abc import Callable
from email.utils import formataddr, parseaddr
from typing import Any, Final

from django.core.mail import EmailMessage, get_connection
from django.core.mail.backends.base import BaseEmailBackend

from maintenance.engine.reminding.attempts import Outcome
from maintenance.engine.reminding.letters import Delivery, Letter
from maintenance.exchange.delivery.mail_provider import provider_outcome

_FOR_GOOD: Final = 500


class MailChannel:
    """Letters from one sender's address."""

    knows_keys = False

    def __init__(
        self, sender: str, connect: Callable[[], BaseEmailBackend] = get_connection
    ) -> None:
        self._sender = sender
        self._connect = connect

    def deliver(self, delivery: Delivery) -> Outcome:
        """Hand a letter to the mail server; "accepted" is not yet "read"."""
        if not isinstance(delivery, Letter):
            return Outcome("refused_for_good", "this is no letter")
        connection = self._connect()
        try:
            connection.open()
        except (OSError, smtplib.SMTPException) as fault:
            return Outcome(
                "refused", f"the mail server was not reached ({_said(fault)})"
            )
        try:
            connection.send_messages([self._message(delivery)])
        except Exception as fault:
            told = provider_outcome(fault) or _outcome(fault)
            if told is None:
                raise
            return told
        finally:
            _hang_up(connection)
        return Outcome("accepted", provider_id=message_id(delivery.key, self._sender))

    def _message(self, letter: Letter) -> EmailMessage:
        return EmailMessage(
            subject=letter.subject,
            body=letter.text,
            from_email=self._sender,
            to=[formataddr((letter.name, letter.to))],
            headers={
                "Message-ID": message_id(letter.key, self._sender),
                "List-Unsubscribe": f"<{letter.stop_address}>",
                "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",
                "Auto-Submitted": "auto-generated",
            },
        )


def message_id(key: str, sender: str) -> str:
    """Return the Message-ID of a key, the same at each attempt.

    Parameters
    ----------
    key : str
        The key of the message.
    sender : str
        The sender's address, whose domain it takes.
    """
    domain = parseaddr(sender)[1].rpartition("@")[2] or "localhost"
    return f"<reminder.{hashlib.sha256(key.encode()).hexdigest()[:40]}@{domain}>"


def _outcome(fault: Exception) -> Outcome | None:
    """Tell a refusal, which is sure, from a silence, which is not."""
    if not isinstance(fault, OSError | smtplib.SMTPException):
        return None
    if isinstance(fault, smtplib.SMTPRecipientsRefused):
        codes = [code for code, _ in fault.recipients.values()]
        good = bool(codes) and min(codes) >= _FOR_GOOD
        return Outcome("refused_for_good" if good else "refused", _said(fault))
    if isinstance(fault, smtplib.SMTPDataError):
        good = fault.smtp_code >= _FOR_GOOD
        return Outcome("refused_for_good" if good else "refused", _said(fault))
    if isinstance(fault, smtplib.SMTPResponseException | smtplib.SMTPNotSupportedError):
        # About the sender or the sign-in: a person mends it, and then it goes out.
        return Outcome("refused", _said(fault))
    return Outcome("unknown", f"the mail server did not answer ({_said(fault)})")


def _said(fault: Exception) -> str:
    if isinstance(fault, smtplib.SMTPRecipientsRefused):
        return "; ".join(
            f"{code} {_text(text)}" for code, text in fault.recipients.values()
        )
    if isinstance(fault, smtplib.SMTPResponseException):
        return f"{fault.smtp_code} {_text(fault.smtp_error)}"
    return f"{type(fault).__name__}: {fault}"[:300]


def _text(said: Any) -> str:
    text = said.decode("utf-8", "replace") if isinstance(said, bytes) else str(said)
    return " ".join(text.split())[:300]


def _hang_up(connection: BaseEmailBackend) -> None:
    """End the talk; what happens now changes nothing about the letter."""
    try:
        connection.close()
    except (OSError, smtplib.SMTPException):
        return

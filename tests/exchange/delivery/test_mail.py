"""Letters by Django's backends: what an attempt came to, and the same at each attempt."""

import smtplib

import pytest
from django.core import mail
from django.core.mail.backends.base import BaseEmailBackend
from django.core.mail.backends.locmem import EmailBackend

from maintenance.engine.reminding.letters import HookCall, Letter
from maintenance.exchange.delivery.mail import MailChannel, message_id

SENDER = "Office <office@example.org>"
LETTER = Letter(
    "o1:7:email:r1", "ada@example.org", "Ada, Byron", "Due", "Text", "https://x/stop/t/"
)


class Faulty(BaseEmailBackend):
    def __init__(self, *, on_open=None, on_send=None, on_close=None):
        super().__init__()
        self._faults = (on_open, on_send, on_close)

    def open(self):
        return self._raise(0)

    def send_messages(self, messages):
        self._raise(1)
        return len(messages)

    def close(self):
        self._raise(2)

    def _raise(self, place):
        if self._faults[place] is not None:
            raise self._faults[place]


def outcome(**faults):
    return MailChannel(SENDER, lambda: Faulty(**faults)).deliver(LETTER)


def test_a_letter_carries_its_id_and_the_way_to_end_it():
    channel = MailChannel(SENDER, EmailBackend)
    assert channel.deliver(LETTER).kind == "accepted"
    assert channel.deliver(LETTER).kind == "accepted"
    first, second = (each.message() for each in mail.outbox)
    assert first["Message-ID"] == second["Message-ID"] == message_id(LETTER.key, SENDER)
    assert first["Message-ID"].endswith("@example.org>")
    assert first["Subject"] == second["Subject"] == "Due"
    # RFC 8058, section 3.1: both headers, the second with exactly this value.
    assert first["List-Unsubscribe"] == "<https://x/stop/t/>"
    assert first["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert first["To"] == '"Ada, Byron" <ada@example.org>'


@pytest.mark.parametrize(
    ("faults", "kind"),
    [
        ({"on_open": ConnectionRefusedError()}, "refused"),
        ({"on_open": smtplib.SMTPAuthenticationError(535, b"no")}, "refused"),
        ({"on_open": TimeoutError()}, "refused"),
        (
            {"on_send": smtplib.SMTPRecipientsRefused({"a": (550, b"no such person")})},
            "refused_for_good",
        ),
        ({"on_send": smtplib.SMTPRecipientsRefused({"a": (450, b"later")})}, "refused"),
        ({"on_send": smtplib.SMTPDataError(554, b"spam")}, "refused_for_good"),
        ({"on_send": smtplib.SMTPDataError(451, b"later")}, "refused"),
        ({"on_send": smtplib.SMTPSenderRefused(550, b"not you", "x")}, "refused"),
        ({"on_send": smtplib.SMTPServerDisconnected("gone")}, "unknown"),
        ({"on_send": TimeoutError()}, "unknown"),
        ({"on_close": smtplib.SMTPServerDisconnected("gone")}, "accepted"),
        ({"on_close": OSError()}, "accepted"),
    ],
)
def test_a_refusal_is_told_from_a_silence(faults, kind):
    assert outcome(**faults).kind == kind


def test_what_the_server_said_is_kept_on_one_line():
    said = smtplib.SMTPDataError(554, b"no\r\nnever")
    assert outcome(on_send=said).error == "554 no never"


def test_what_is_no_letter_is_refused():
    call = HookCall("k", "https://example.org", "s", "{}")
    assert MailChannel(SENDER, EmailBackend).deliver(call).kind == "refused_for_good"

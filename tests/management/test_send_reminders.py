"""One round of reminders from the shell, and a look at whether rounds are made."""

from datetime import timedelta

import pytest
from django.core import mail
from django.core.management import call_command
from django.core.management.base import CommandError
from django.utils import timezone

from maintenance.models import Heartbeat, Message
from tests.web.reminder_pages import keep_due, keep_person

pytestmark = pytest.mark.django_db


def run(capsys, *options):
    call_command("send_reminders", *options)
    return capsys.readouterr().out


@pytest.fixture
def due():
    person = keep_person()
    person.added_at = timezone.now() - timedelta(days=100)
    person.save()
    return keep_due(days=3)


def test_one_round_finds_writes_and_sends(due, capsys):
    assert "1 sent" in run(capsys)
    (letter,) = mail.outbox
    assert letter.to == ["Ada <ada@example.org>"]
    assert "Look at the drain" in letter.subject
    assert "/stop/" in letter.body
    assert letter.extra_headers["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert "0 sent" in run(capsys), "and not again"


def test_a_look_sends_nothing_and_fails_where_it_is_silent(due, capsys):
    with pytest.raises(CommandError, match="Nothing has ever looked"):
        run(capsys, "--check")
    assert mail.outbox == []
    run(capsys)
    assert "Reminders go out" in run(capsys, "--check")
    Heartbeat.objects.update(at=timezone.now() - timedelta(minutes=6))
    with pytest.raises(CommandError, match="6 minutes"):
        run(capsys, "--check")


def test_many_are_sent_in_rounds(due, capsys):
    for number in range(230):
        keep_due(f"Thing {number}", days=2)
    assert "231 sent" in run(capsys)
    assert not Message.objects.filter(state="due").exists()

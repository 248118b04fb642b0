"""The first owner is made at the machine; then, and only then, others are served."""

import os
import socket
import subprocess
import sys
from contextlib import closing
from io import StringIO
from pathlib import Path

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command

from maintenance.models import Account, Member

PASSWORD = "seven wet valves in a row"
REPOSITORY = Path(__file__).resolve().parents[2]


def make(monkeypatch, *words, password=PASSWORD):
    monkeypatch.setattr("sys.stdin", StringIO(f"{password}\n"))
    out = StringIO()
    call_command("make_owner", *words, stdout=out, stderr=StringIO())
    return out.getvalue()


@pytest.mark.django_db
def test_it_makes_an_owner_of_this_machines_account(monkeypatch):
    said = make(monkeypatch, "Olga@firm.example", "--name", "Olga")
    assert "olga@firm.example owns This machine and signs in." in said
    row = Member.objects.get()
    assert (row.account.key, row.role, row.name) == ("local", "owner", "Olga")
    assert User.objects.get().check_password(PASSWORD)


@pytest.mark.django_db
def test_one_who_signs_in_already_keeps_the_password(monkeypatch):
    make(monkeypatch, "olga@firm.example", "--name", "Olga")
    Account.objects.create(key="second", name="Second")
    words = ("olga@firm.example", "--name", "Olga", "--account", "second")
    assert "with the password they have" in make(monkeypatch, *words, password="other")
    assert User.objects.get().check_password(PASSWORD)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("words", "password", "says"),
    [
        (("no address", "--name", "O"), PASSWORD, "valid email"),
        (("o@firm.example", "--name", "O"), "short", "too short"),
        (("o@firm.example", "--name", " "), PASSWORD, "name is missing"),
        (("o@f.example", "--name", "O", "--account", "x"), PASSWORD, "no account"),
    ],
)
def test_what_will_not_do_is_refused_in_a_sentence(monkeypatch, words, password, says):
    with pytest.raises(CommandError, match=says):
        make(monkeypatch, *words, password=password)
    assert not User.objects.exists()


def manage(data, *words, typed="", **given):
    kept = {k: v for k, v in os.environ.items() if not k.startswith("IRRIGATION_")}
    done = subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=REPOSITORY,
        env=kept
        | {
            "DJANGO_SETTINGS_MODULE": "irrigation_site.settings.base",
            "IRRIGATION_DATA": str(data),
        }
        | given,
        input=typed,
        capture_output=True,
        text=True,
        check=False,
    )
    return done.returncode, done.stderr


OPEN = {"IRRIGATION_ACCOUNTS": "1", "IRRIGATION_HOSTS": "plan.example.org"}


@pytest.mark.slow
def test_others_are_served_only_with_accounts_https_and_an_owner(tmp_path):
    data = tmp_path / "data"
    serve = ("serve", "--address", "0.0.0.0", "--port", "0")
    code, said = manage(data, *serve)
    assert (code, said.count("\n")) == (1, 1)
    assert "no accounts that would keep others out" in said
    code, said = manage(data, *serve, IRRIGATION_ACCOUNTS="1")
    assert (code, said.count("\n")) == (1, 1)
    assert "IRRIGATION_HOSTS" in said
    assert not data.exists()
    code, said = manage(data, *serve, **OPEN)
    assert code == 1
    assert said.splitlines()[-1].startswith("No account has an owner yet")
    words = ("make_owner", "olga@firm.example", "--name", "Olga")
    code, said = manage(data, *words, typed=f"{PASSWORD}\n")
    assert (code, said) == (0, "")
    with closing(socket.create_server(("0.0.0.0", 0))) as taken:
        port = str(taken.getsockname()[1])
        code, said = manage(data, *serve[:-1], port, **OPEN)
    assert code == 1  # past all refusals: the port alone is in the way
    assert f"Port {port} is in use" in said

"""The settings with which others may come in: shut by default, strict when open."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

LOOK = """
import json, django
django.setup()
from django.conf import settings
names = '''ACCOUNTS HTTPS ALLOWED_HOSTS SESSION_COOKIE_NAME CSRF_COOKIE_NAME
SESSION_COOKIE_SECURE CSRF_COOKIE_SECURE SESSION_COOKIE_HTTPONLY CSRF_COOKIE_HTTPONLY
SESSION_COOKIE_SAMESITE SECURE_SSL_REDIRECT SECURE_HSTS_SECONDS DEBUG
MFA_WEBAUTHN_ALLOW_INSECURE_ORIGIN SECRET_KEY_FALLBACKS'''.split()
told = {name: getattr(settings, name) for name in names}
told["proxy"] = getattr(settings, "SECURE_PROXY_SSL_HEADER", None)
told["length"] = len(settings.SECRET_KEY)
print(json.dumps(told))
"""
OPEN = {"IRRIGATION_ACCOUNTS": "1", "IRRIGATION_HOSTS": "plan.example.org"}


def run(data: Path, *words: str, **given: str) -> subprocess.CompletedProcess[str]:
    # The tests of the browser set the second one, which no deployment may.
    ours = ("IRRIGATION_", "DJANGO_ALLOW_ASYNC_UNSAFE")
    kept = {k: v for k, v in os.environ.items() if not k.startswith(ours)}
    return subprocess.run(
        [sys.executable, *words],
        env=kept
        | {
            "DJANGO_SETTINGS_MODULE": "irrigation_site.settings.base",
            "IRRIGATION_DATA": str(data),
        }
        | given,
        capture_output=True,
        text=True,
        check=False,
        cwd=Path(__file__).resolve().parents[2],
    )


def settings_of(data: Path, **given: str) -> dict[str, object]:
    done = run(data, "-c", LOOK, **given)
    assert done.returncode == 0, done.stderr
    told: dict[str, object] = json.loads(done.stdout)
    return told


def test_by_default_it_is_one_persons_on_this_machine(tmp_path: Path) -> None:
    told = settings_of(tmp_path)
    assert told["ACCOUNTS"] is False
    assert told["ALLOWED_HOSTS"] == ["127.0.0.1", "localhost"]
    assert told["DEBUG"] is False


def test_on_this_machine_cookies_have_plain_names(tmp_path: Path) -> None:
    told = settings_of(tmp_path, IRRIGATION_ACCOUNTS="1")
    assert told["SESSION_COOKIE_NAME"] == "sessionid"
    assert told["SESSION_COOKIE_SECURE"] is False
    assert told["SESSION_COOKIE_HTTPONLY"] is True
    assert told["ALLOWED_HOSTS"] == ["127.0.0.1", "localhost"]


def test_under_a_name_everything_is_https(tmp_path: Path) -> None:
    told = settings_of(tmp_path, **OPEN)
    assert told["ALLOWED_HOSTS"] == ["plan.example.org"]
    assert told["SESSION_COOKIE_NAME"] == "__Host-sessionid"
    assert told["CSRF_COOKIE_NAME"] == "__Host-csrftoken"
    for name in (
        "SESSION_COOKIE_SECURE",
        "CSRF_COOKIE_SECURE",
        "SESSION_COOKIE_HTTPONLY",
        "CSRF_COOKIE_HTTPONLY",
        "SECURE_SSL_REDIRECT",
    ):
        assert told[name] is True, name
    assert told["SESSION_COOKIE_SAMESITE"] == "Lax"
    assert told["SECURE_HSTS_SECONDS"] == 365 * 24 * 3600
    assert told["MFA_WEBAUTHN_ALLOW_INSECURE_ORIGIN"] is False
    assert told["proxy"] is None  # a header that anyone can send proves nothing
    behind = settings_of(tmp_path, **OPEN, IRRIGATION_BEHIND_PROXY="1")
    assert behind["proxy"] == ["HTTP_X_FORWARDED_PROTO", "https"]


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"IRRIGATION_HOSTS": "plan.example.org"}, "there are no accounts"),
        ({**OPEN, "IRRIGATION_HOSTS": "*"}, "name each host in full"),
        ({**OPEN, "IRRIGATION_HOSTS": ".example.org"}, "name each host in full"),
    ],
)
def test_what_would_leave_it_open_is_refused_in_a_sentence(
    tmp_path: Path, given: dict[str, str], says: str
) -> None:
    done = run(tmp_path, "manage.py", "check", **given)
    assert done.returncode == 1
    assert says in done.stderr
    assert "Traceback" not in done.stderr


def test_the_check_for_deployment_finds_nothing(tmp_path: Path) -> None:
    words = ("manage.py", "check", "--deploy", "--fail-level", "WARNING")
    done = run(tmp_path, *words, **OPEN)
    assert done.returncode == 0, done.stderr
    assert "no issues" in done.stdout
    # The same check would tell: without https there is much to say.
    assert run(tmp_path, *words).returncode == 1


def test_two_new_installations_have_two_keys_and_an_old_one_still_opens(
    tmp_path: Path,
) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    assert settings_of(one, **OPEN)["length"] == 64
    settings_of(two, **OPEN)
    keys = [(folder / "secret_key").read_text("ascii") for folder in (one, two)]
    assert keys[0] != keys[1]
    assert len(set(keys[0])) > 20
    told = settings_of(one, **OPEN, SECRET_KEY_FALLBACKS=f"{keys[1]},older")
    assert told["SECRET_KEY_FALLBACKS"] == [keys[1], "older"]


HEADERS = """
import django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from django.test import Client
answer = Client().get("/account/login/", secure=True, headers={"host": "plan.example.org"})
print(answer.status_code, answer["Strict-Transport-Security"])
print(sorted((c.key, c["secure"], c["path"], c["domain"]) for c in answer.cookies.values()))
plain = Client().get("/account/login/", headers={"host": "plan.example.org"})
print(plain.status_code, plain["Location"])
print(Client().get("/", secure=True, headers={"host": "localhost"}).status_code)
"""


@pytest.mark.slow
def test_a_page_under_a_name_says_so_to_the_browser(tmp_path: Path) -> None:
    done = run(tmp_path, "-c", HEADERS, **OPEN)
    assert done.returncode == 0, done.stderr
    status, cookies, plain, other = done.stdout.splitlines()
    assert status == "200 max-age=31536000; includeSubDomains"
    assert cookies == "[('__Host-csrftoken', True, '/', '')]"
    assert plain == "301 https://plan.example.org/account/login/"
    assert other == "400"

"""The pages on backflow assemblies as a browser without scripts meets them."""

from datetime import datetime
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from maintenance.models import Device
from maintenance.services.accounts import local_account
from tests.services.backflow.field_tests import SITE, keep_kit, keep_site

NEVER_SAID = ("compliant", "complies", "compliance", "is safe", "certifies")


def furnish() -> None:
    """Keep a site with an assembly of each kind, a tester and a gauge."""
    account = local_account()
    keep_site(account)
    keep_kit(account)


def stop_clock(monkeypatch: pytest.MonkeyPatch, moment: str) -> None:
    """Let the pages see one moment."""
    now = datetime.fromisoformat(moment)
    monkeypatch.setattr(timezone, "now", lambda: now)


def here(link: str = "B1") -> str:
    """Return the address of the assembly that stands at a link."""
    row = Device.objects.get(site__key=SITE, link__key=link, until=None)
    return f"/sites/{SITE}/assemblies/{link}/{row.pk}/"


def body_of(answer: Any) -> str:
    text: str = answer.content.decode()
    return text


def send(office: Client, address: str, **fields: Any) -> Any:
    """Send a form and want it stored."""
    answer = office.post(address, fields)
    if answer.status_code != 302:
        pytest.fail(f"{answer.status_code}: {body_of(answer)}")
    return answer

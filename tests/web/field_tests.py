"""What the tests of the pages on field tests share."""

import re
from typing import Any

from django.test import Client

from maintenance.services.accounts import local_account
from tests.services.backflow.field_tests import SITE, keep_kit, keep_site, readings

BEGIN = f"/sites/{SITE}/assemblies/B1/tests/begin/"


def keep_orchard() -> None:
    """Keep a site with an assembly of each kind, a tester and a gauge."""
    account = local_account()
    keep_site(account)
    keep_kit(account)


def begin(client: Client, link: str = "B1") -> str:
    """Begin a test; return the address of its draft."""
    answer: Any = client.post(BEGIN.replace("B1", link))
    assert answer.status_code == 302
    return str(answer.url)


def fields(client: Client, address: str) -> dict[str, str]:
    """Return what the page of a draft would send as it stands."""
    body = client.get(address).content.decode()
    found = dict(
        re.findall(r'<input type="hidden"[^>]*name="(\w+)" value="([^"]*)"', body)
    )
    found |= dict(re.findall(r'<input id="(\w+)" name="\w+" value="([^"]*)"', body))
    for name, text in re.findall(
        r'(?s)<select id="(\w+)".*?<option value="(\d+)" selected', body
    ):
        found[name] = text
    for name, text in re.findall(
        r'<input type="radio" name="(\w+)" value="([^"]*)" checked>', body
    ):
        found[name] = text
    found.pop("csrfmiddlewaretoken", None)
    return found


def sign(client: Client, link: str = "B1", **changed: str) -> Any:
    """Sign a test by its page; one that passes where nothing else is told."""
    address = begin(client, link)
    kind = {"B1": "RP", "B2": "DC", "B3": "PVB"}[link]
    name = (
        "final"
        if "Before the repair" in client.get(address).content.decode()
        else "initial"
    )
    told = fields(client, address) | readings(kind, name) | {"who": "Ada"} | changed
    return client.post(f"{address}sign/", told)

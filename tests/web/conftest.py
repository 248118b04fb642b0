"""A browser without scripts, and one site that a person might keep."""

import re
from collections.abc import Callable
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from maintenance.exchange.demonstration import read_demonstration
from maintenance.services.accounts import local_account
from maintenance.services.demonstration import load_demonstration

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
LATERAL = FIXTURES / "examples" / "example-lateral.json"
COMPRESSOR = FIXTURES / "examples" / "compressor-25.json"


def text_of(answer: Any) -> str:
    """Return what a person reads on a page."""
    body = answer.content.decode()
    plain = re.sub(r"(?s)<(script|style|datalist)\b.*?</\1>|<[^>]+>", " ", body)
    return re.sub(r"\s+", " ", unescape(plain))


@pytest.fixture
def office(db: None) -> Client:
    """Return a client of a database with the account and nothing else in it."""
    local_account()
    return Client()


@pytest.fixture
def estate(office: Client) -> Client:
    """Put the demonstration in."""
    files = read_demonstration()
    load_demonstration(
        local_account(),
        sites=files.sites,
        compressors=files.compressors,
        now=timezone.now(),
    )
    return office


@pytest.fixture
def lateral(office: Client) -> str:
    """Import the example lateral; return its id."""
    answer = office.post("/import/", {"text": LATERAL.read_text("utf-8")})
    assert answer.status_code == 302, text_of(answer)
    return "example-lateral"


@pytest.fixture
def machine(office: Client) -> str:
    """Import the example compressor; return its id."""
    answer = office.post("/import/", {"text": COMPRESSOR.read_text("utf-8")})
    assert answer.status_code == 302, text_of(answer)
    return "shop-25"


@pytest.fixture
def version_of(office: Client) -> Callable[[str], str]:
    """Return what a form of an address would send as its version."""

    def version(address: str) -> str:
        body = office.get(address).content.decode()
        found = re.search(r'name="version" value="(\d+)"', body)
        assert found, address
        return found[1]

    return version

"""The pages as a browser meets them, with the demonstration or with nothing."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from typing import Any

import pytest
from playwright.sync_api import Page

from maintenance.exchange.demonstration import read_demonstration
from maintenance.services.accounts import local_account
from maintenance.services.demonstration import load_demonstration

# The browser itself writes this down when a form with faults is answered 422.
A_REFUSED_FORM = "the server responded with a status of 422"


@pytest.fixture
def put_in_demonstration(live_server: Any) -> Callable[[], None]:
    """Return what fills the database that is served."""

    def fill() -> None:
        files = read_demonstration()
        load_demonstration(
            local_account(),
            sites=files.sites,
            compressors=files.compressors,
            now=datetime(2026, 9, 1, 8, tzinfo=UTC),
        )

    return fill


@pytest.fixture
def empty_office(live_server: Any) -> str:
    """Serve an empty database; return its address."""
    return str(live_server.url)


@pytest.fixture
def demo_office(live_server: Any, put_in_demonstration: Callable[[], None]) -> str:
    """Serve the demonstration; return its address."""
    put_in_demonstration()
    return str(live_server.url)


@pytest.fixture
def complaints(page: Page) -> Iterator[list[str]]:
    """Collect all that the browser says of a page: it must stay silent.

    Reports of the content security policy arrive here as well: as messages of the
    console, and (where a page hides those) as events of the document.
    """
    said: list[str] = []
    page.add_init_script(
        "document.addEventListener('securitypolicyviolation', e =>"
        " console.error('policy: ' + e.violatedDirective + ' ' + e.blockedURI))"
    )
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on(
        "response",
        lambda answer: (
            said.append(f"{answer.status} {answer.url}")
            if answer.status >= 400 and answer.status != 422
            else None
        ),
    )
    yield said
    assert [text for text in said if A_REFUSED_FORM not in text] == []

"""People sign in here, and two accounts are filled."""

import logging
from typing import Any

import pytest

from tests.web.access.world import World, build


@pytest.fixture(autouse=True)
def accounts_on(settings: Any) -> None:
    settings.ACCOUNTS = True


@pytest.fixture
def world(db: None) -> World:
    return build()


@pytest.fixture(autouse=True)
def quiet(caplog: pytest.LogCaptureFixture) -> None:
    """Leave refusals out of the report: there are thousands, and all are meant."""
    caplog.set_level(logging.CRITICAL, logger="django.request")

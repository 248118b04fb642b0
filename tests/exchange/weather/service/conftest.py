"""A weather service that runs for one test, and a place that is asked of it."""

from collections.abc import Iterator

import pytest

from tests.exchange.weather.service.fake_service import FakeService, started


@pytest.fixture
def service() -> Iterator[FakeService]:
    found, end = started()
    found.well()
    yield found
    end()


@pytest.fixture
def elsewhere() -> Iterator[FakeService]:
    """Another host of this computer, which nothing may be asked of."""
    found, end = started("127.0.0.2")
    found.well()
    yield found
    assert found.seen == []
    end()

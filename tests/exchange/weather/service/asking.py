"""How a test asks the service for the forecast of one invented place."""

from dataclasses import replace
from typing import Any

from maintenance.engine.climate.fetched import (
    Addresses,
    Answer,
    Fetched,
    PlaceAsked,
    Unreachable,
)
from maintenance.exchange.weather.service.fetch import fetch_forecast
from tests.exchange.weather.service.fake_service import GRID, HOURLY, FakeService

PLACE = PlaceAsked(40.3212, -106.1075, None, None)
CONTACT = "grounds@larkmoor.example"


def known_place(service: FakeService, last_modified: str | None = None) -> PlaceAsked:
    """Return the place with the addresses that asking before has told."""
    addresses = Addresses(service.origin + HOURLY, service.origin + GRID)
    return replace(PLACE, addresses=addresses, last_modified=last_modified)


def ask(service: FakeService, place: PlaceAsked = PLACE, **options: Any) -> Answer:
    given: dict[str, Any] = {
        "contact": CONTACT,
        "base_url": service.origin,
        "deadline_s": 5.0,
    }
    return fetch_forecast(place, **(given | options))


def fetched(answer: Answer) -> Fetched:
    assert isinstance(answer, Fetched), answer
    return answer


def unreachable(answer: Answer) -> Unreachable:
    """Return why no forecast came, once it is sure that a person can read it."""
    assert isinstance(answer, Unreachable), answer
    assert answer.why.isprintable()
    assert answer.why.endswith(".")
    assert len(answer.why) < 400
    assert not any(word in answer.why for word in ("Error", "Traceback", "object at"))
    return answer

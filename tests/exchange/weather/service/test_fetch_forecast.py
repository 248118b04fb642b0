"""A forecast comes whole, and nothing is asked twice that is known already."""

import json
from dataclasses import replace

import numpy as np
import pytest

from maintenance.engine.climate.fetched import Addresses, NotModified
from maintenance.exchange.weather.service.session import WeatherSession
from tests.exchange.weather.service.asking import (
    CONTACT,
    PLACE,
    ask,
    fetched,
    known_place,
    unreachable,
)
from tests.exchange.weather.service.fake_service import (
    GRID,
    HOURLY,
    MODIFIED,
    POINT,
    halved,
    not_found,
    reply,
)

AGENT = f"irrigation-maintenance ({CONTACT})"


def hot_grid(service, count):
    """Return the grid with its first temperatures in the thousands."""
    grid = json.loads(service.stored("grid.json"))
    for entry in grid["properties"]["temperature"]["values"][:count]:
        entry["value"] = 4321
    return json.dumps(grid).encode()


def degf(forecast):
    return forecast.temperature_k * 1.8 - 459.67


def test_the_point_is_asked_first_and_then_the_raw_grid(service):
    found = fetched(ask(service))
    assert service.paths() == [POINT, GRID]
    assert found.addresses == Addresses(service.origin + HOURLY, service.origin + GRID)
    assert found.last_modified == MODIFIED
    air = degf(found.forecast)
    assert len(air) == 48
    assert air[:4] == pytest.approx([44, 47, 49, 50])
    assert np.flatnonzero(np.isnan(air)).tolist() == [30, 31]
    assert np.flatnonzero(np.isnan(found.forecast.wind_m_per_s)).tolist() == [40]
    assert found.forecast.sky_cover[[0, 12, 47]] == pytest.approx([0.4, 0.85, 0.0])


def test_addresses_that_are_known_are_asked_at_once(service):
    fetched(ask(service, known_place(service)))
    assert service.paths() == [GRID]


@pytest.mark.parametrize(
    ("name", "first_degf", "unknown"),
    [
        ("hourly_f.json", 44.0, []),
        ("hourly_c.json", 44.6, []),
        ("hourly_quantities.json", 44.0, [30, 31]),
    ],
)
def test_the_hourly_forecast_stands_in_for_a_refused_grid(
    service, name, first_degf, unknown
):
    service.deeds |= {GRID: reply(403), HOURLY: reply(200, service.stored(name))}
    found = fetched(ask(service))
    assert service.paths() == [POINT, GRID, HOURLY]
    air = degf(found.forecast)
    assert air[0] == pytest.approx(first_degf)
    assert np.flatnonzero(np.isnan(air)).tolist() == unknown
    # 9 to 14 mph: of a range the upper end counts
    assert found.forecast.wind_m_per_s[5] == pytest.approx(14 * 0.44704, rel=0.03)
    # so that the grid is asked for whole the next time
    assert found.last_modified is None


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"<html>Please sign in</html>",
        b"[1, 2",
        b'{"properties": {"temperature": 3}}',
        b'{"properties": {"periods": "none"}}',
        b"time,temperature_f\n2026-10-05T18:00Z,4\n",
        b"\x1f\x8b\x00",
        b"[" * 100_000,
        b"9" * 10_000,
    ],
)
def test_the_hourly_forecast_stands_in_for_an_unreadable_grid(service, body):
    service.deeds[GRID] = reply(200, body)
    assert fetched(ask(service)).forecast.source.startswith("hourly")
    service.well()
    assert fetched(ask(service)).forecast.source.startswith("raw-grid")


def test_where_neither_can_be_read_the_sentence_says_why(service):
    service.deeds |= {GRID: reply(200, b"[1"), HOURLY: reply(403)}
    found = unreachable(ask(service))
    assert "its grid cannot be read (file is no JSON" in found.why
    assert "its hourly forecast is refused (status 403)" in found.why
    assert not found.permanent


def test_what_has_not_changed_is_not_sent_again(service):
    service.deeds[GRID] = reply(304)
    answer = ask(service, known_place(service, MODIFIED))
    kept = Addresses(service.origin + HOURLY, service.origin + GRID)
    assert answer == NotModified(kept)
    assert service.paths() == [GRID]
    assert service.seen[0].headers["If-Modified-Since"] == MODIFIED


@pytest.mark.parametrize("since", [None, "", "yesterday", "x\r\nX-Put-In: 1"])
def test_without_a_time_all_is_asked_for(service, since):
    fetched(ask(service, known_place(service, since)))
    assert "If-Modified-Since" not in service.seen[0].headers
    assert "X-Put-In" not in service.seen[0].headers


def test_the_time_of_another_square_does_not_count(service):
    """Without its addresses nobody knows which square the kept forecast is of."""
    fetched(ask(service, replace(PLACE, last_modified=MODIFIED)))
    assert all("If-Modified-Since" not in each.headers for each in service.seen)


def test_a_304_that_nobody_asked_for_is_no_forecast(service):
    service.deeds |= {GRID: reply(304), HOURLY: reply(304)}
    assert "is refused (status 304)" in unreachable(ask(service)).why


def test_a_time_that_is_none_is_not_kept(service):
    grid = service.stored("grid.json")
    service.deeds[GRID] = reply(200, grid, Last_Modified="some day")
    assert fetched(ask(service)).last_modified is None


def test_every_question_tells_who_asks(service):
    fetched(ask(service))
    assert [each.headers["User-Agent"] for each in service.seen] == [AGENT] * 2
    assert not any("Authorization" in each.headers for each in service.seen)


@pytest.mark.parametrize(
    "contact", ["", " ", "nobody", "a@b", "a b@c.example", "a@b.example\r\nX-Put-In: 1"]
)
def test_without_a_contact_address_nothing_is_sent(service, contact):
    found = unreachable(ask(service, contact=contact))
    assert "contact address" in found.why
    assert found.permanent
    assert service.seen == []
    fetched(ask(service))


def test_a_moved_grid_is_found_again_by_its_point(service):
    moved = service.stored("point.json").replace(b"LMR/41,27", b"LMR/41,28")
    there = GRID.replace("27", "28")
    service.deeds |= {
        GRID: reply(404, service.stored("no_such_point.json")),
        POINT: reply(200, moved),
        there: reply(200, service.stored("grid.json")),
    }
    found = fetched(ask(service, known_place(service, MODIFIED)))
    assert service.paths() == [GRID, POINT, there]
    assert found.addresses.grid == service.origin + there
    assert "If-Modified-Since" not in service.seen[-1].headers


def test_the_point_is_asked_only_once_more(service):
    service.deeds |= {GRID: not_found, HOURLY: not_found}
    unreachable(ask(service, known_place(service)))
    assert service.paths() == [GRID, POINT, GRID, HOURLY]


def test_some_temperatures_in_the_thousands_are_unknown_and_told(service):
    service.deeds[GRID] = reply(200, hot_grid(service, 1))
    forecast = fetched(ask(service)).forecast
    assert np.isnan(forecast.temperature_k[0])
    assert np.nanmax(forecast.temperature_k) < 300.0
    assert forecast.rejected == (
        "properties.temperature.values[0]: temperature 4321 degC cannot be.",
    )


def test_a_grid_all_in_the_thousands_is_not_taken(service):
    service.deeds |= {GRID: reply(200, hot_grid(service, 20)), HOURLY: not_found}
    assert "temperatures that cannot be" in unreachable(ask(service)).why


def test_one_session_serves_several_places(service):
    with WeatherSession() as session:
        for _ in range(3):
            fetched(ask(service, session=session))
        service.deeds[GRID] = halved(service.stored("grid.json"))
        unreachable(ask(service, session=session))
        service.well()
        fetched(ask(service, session=session))

"""Whatever the network or the service does: a sentence, in time, and never an error."""

import gzip
import socket
import time

import pytest

from maintenance.exchange.weather.service.ask import MOST_BYTES
from tests.exchange.weather.service.asking import (
    ask,
    fetched,
    known_place,
    unreachable,
)
from tests.exchange.weather.service.fake_service import (
    GRID,
    HOURLY,
    POINT,
    dripping,
    endless,
    halved,
    hang_up,
    not_found,
    reply,
    say,
    silent,
)

DEADLINE_S = 0.4
LATE = "did not answer in time"
BROKEN = "broke off"
BLANKS = b" " * 5_000


@pytest.mark.parametrize("path", [POINT, GRID])
@pytest.mark.parametrize(
    "deed",
    [dripping(BLANKS), dripping(b"", head=True), silent],
    ids=["body drips", "head drips", "says nothing"],
)
def test_a_slow_service_is_waited_for_until_the_deadline(service, path, deed):
    fetched(ask(service, deadline_s=5.0))
    service.deeds[path] = deed
    begin = time.monotonic()
    found = unreachable(ask(service, deadline_s=DEADLINE_S))
    assert DEADLINE_S <= time.monotonic() - begin < DEADLINE_S + 2.0
    assert LATE in found.why
    assert (found.retry_after_s, found.permanent) == (None, False)


def test_a_slow_answer_before_the_deadline_is_taken(service):
    service.deeds[POINT] = dripping(service.stored("point.json"), pause_s=1e-5)
    fetched(ask(service))


def test_a_connection_that_ended_meanwhile_is_made_anew(service):
    service.deeds[GRID] = [hang_up, reply(200, service.stored("grid.json"))]
    fetched(ask(service))
    assert service.paths() == [POINT, GRID, GRID]
    service.deeds[GRID] = hang_up
    assert BROKEN in unreachable(ask(service)).why
    assert service.paths()[3:] == [POINT, GRID, GRID]


def test_the_deadline_runs_by_the_clock_that_is_given(service):
    times = iter(range(1_000))
    assert LATE in unreachable(ask(service, deadline_s=0.5, clock=times.__next__)).why
    assert service.seen == []
    fetched(ask(service, deadline_s=900.0, clock=iter(range(1_000)).__next__))


def test_an_endless_answer_is_given_up(service):
    fetched(ask(service))
    service.deeds[GRID] = endless
    found = unreachable(ask(service))
    assert "more than 5 MB" in found.why
    assert not found.permanent


def test_a_packed_answer_counts_by_its_length_unpacked(service):
    grid = service.stored("grid.json")
    packed = reply(200, gzip.compress(grid), Content_Encoding="gzip")
    service.deeds[GRID] = packed
    assert fetched(ask(service)).forecast.source.startswith("raw-grid")
    bomb = gzip.compress(b" " * (4 * MOST_BYTES))
    service.deeds[GRID] = reply(200, bomb, Content_Encoding="gzip")
    assert "more than 5 MB" in unreachable(ask(service)).why


@pytest.mark.parametrize("path", [POINT, GRID])
def test_half_an_answer_is_none(service, path):
    body = service.stored("grid.json" if path == GRID else "point.json")
    service.deeds[path] = reply(200, body)
    fetched(ask(service))
    service.deeds[path] = halved(body)
    assert BROKEN in unreachable(ask(service)).why


@pytest.mark.parametrize(
    "lines",
    [
        b"",
        b"\x00\xff\xfe\r\n\r\n",
        b"HTTP/1.1 200",
        b"HTTP/1.1 999999 OK\r\n\r\n",
        b"HTTP/1.1 200 OK\r\nContent-Length: -5\r\n\r\n{}",
        b"HTTP/1.1 200 OK\r\nContent-Length: many\r\n\r\n{}",
        b"HTTP/1.1 200 OK\r\nContent-Length: 2, 3\r\n\r\n{}",
        b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n{}",
        b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n9\r\n{}",
        b"HTTP/1.1 200 OK\r\nContent-Encoding: gzip\r\n\r\n{}",
        b"HTTP/1.1 200 OK\r\n" + b"X-Many: 1\r\n" * 200 + b"\r\n{}",
        b"HTTP/1.1 200 OK\r\nX-Long: " + b"x" * 100_000 + b"\r\n\r\n{}",
        b"HTTP/1.1 302 Found\r\nLocation: http://[\r\n\r\n",
        b"HTTP/1.1 302 Found\r\nLocation: \xff\xfe\r\n\r\n",
        b"HTTP/1.1 302 Found\r\n\r\n",
        b"HTTP/1.1 100 Continue\r\n\r\n" * 50,
    ],
)
def test_what_is_hardly_http_ends_in_a_sentence(service, lines):
    fetched(ask(service))
    service.deeds |= {GRID: say(lines), HOURLY: not_found}
    assert not unreachable(ask(service)).permanent


@pytest.mark.parametrize("status", [429, 500, 502, 503, 504])
@pytest.mark.parametrize("path", [POINT, GRID])
def test_a_service_in_trouble_is_asked_again_later(service, status, path):
    fetched(ask(service))
    service.seen.clear()
    service.deeds[path] = reply(status, service.stored("grid_expired.json"))
    found = unreachable(ask(service))
    assert f"status {status}" in found.why
    assert (found.retry_after_s, found.permanent) == (None, False)
    assert service.paths()[-1] == path


@pytest.mark.parametrize(
    ("headers", "wait_s"),
    [
        ({"Retry_After": "120"}, 120.0),
        ({"Retry_After": "0"}, 0.0),
        ({"Retry_After": "soon"}, None),
        ({"Retry_After": "-5"}, None),
        ({"Retry_After": "9" * 5_000}, None),
        ({"Retry_After": "Tue, 06 Oct 9999 99:00:00 GMT"}, None),
    ],
)
def test_the_wait_that_the_service_asks_for_is_told(service, headers, wait_s):
    service.deeds[GRID] = reply(503, **headers)
    assert unreachable(ask(service)).retry_after_s == wait_s


@pytest.mark.parametrize(
    ("now", "wait_s"),
    [
        ("Mon, 05 Oct 2026 17:50:00 GMT", 600.0),
        ("Mon, 05 Oct 2026 19:00:00 GMT", 0.0),
        ("", None),
    ],
)
def test_a_wait_until_a_time_counts_from_the_clock_of_the_service(service, now, wait_s):
    until = "Mon, 05 Oct 2026 18:00:00 GMT"
    lines = f"HTTP/1.1 503 Busy\r\nDate: {now}\r\nRetry-After: {until}\r\n\r\n"
    service.deeds[GRID] = say(lines.encode())
    assert unreachable(ask(service)).retry_after_s == wait_s


@pytest.mark.parametrize("status", [400, 404])
def test_a_position_that_the_service_does_not_cover_stays_so(service, status):
    fetched(ask(service))
    service.deeds[POINT] = reply(status, service.stored("no_such_point.json"))
    found = unreachable(ask(service))
    assert found.permanent
    assert "latitude and longitude" in found.why
    assert not unreachable(ask(service, known_place(service), deadline_s=-1)).permanent


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        (b"", "does not know"),
        (b"<html>", "does not know"),
        (b"[]", "does not know"),
        (b'{"properties": []}', "does not know"),
        (b'{"properties": {}}', "names no forecast"),
        (b'{"properties": {"forecastHourly": null}}', "names no forecast"),
        (
            b'{"properties": {"forecastHourly": 1, "forecastGridData": "\\ud800"}}',
            "elsewhere",
        ),
    ],
)
def test_a_point_without_addresses_is_no_place_for_good(service, body, sentence):
    service.deeds[POINT] = reply(200, body)
    found = unreachable(ask(service))
    assert sentence in found.why
    assert not found.permanent


def test_a_refused_tool_is_told_to_look_at_its_contact(service):
    service.deeds[POINT] = reply(403)
    found = unreachable(ask(service))
    assert "refuses the tool (status 403)" in found.why
    assert not found.permanent


def test_where_nobody_listens_a_sentence_says_so(service):
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        nobody = f"http://127.0.0.1:{free.getsockname()[1]}"
        found = unreachable(ask(service, base_url=nobody))
    assert "cannot be reached" in found.why
    assert not found.permanent


def test_a_host_that_no_name_server_knows_is_a_sentence(service, monkeypatch):
    def unknown(*args, **kwargs):
        raise socket.gaierror(socket.EAI_NONAME, "Name or service not known")

    monkeypatch.setattr(socket, "getaddrinfo", unknown)
    found = unreachable(ask(service, base_url="https://weather.invalid"))
    assert "cannot be reached" in found.why
    assert not found.permanent

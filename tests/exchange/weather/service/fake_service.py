"""A weather service on this computer: it answers as told and keeps what it was asked."""

import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

STORED = Path(__file__).parents[4] / "fixtures" / "weather"
OFFICIAL = "https://api.weather.gov"
POINT = "/points/40.3212,-106.1075"
GRID = "/gridpoints/LMR/41,27"
HOURLY = f"{GRID}/forecast/hourly"
MODIFIED = "Mon, 05 Oct 2026 17:20:00 GMT"

Deed = Callable[[BaseHTTPRequestHandler], None]


@dataclass
class Seen:
    """A request as it came in."""

    path: str
    headers: Mapping[str, str]


@dataclass
class FakeService:
    """What to do at each path; a list is done in turn, its last deed for good."""

    origin: str
    deeds: dict[str, Deed | list[Deed]] = field(default_factory=dict)
    seen: list[Seen] = field(default_factory=list)

    def stored(self, name: str) -> bytes:
        """Return a stored answer, its addresses on this host."""
        text = (STORED / name).read_text(encoding="utf-8")
        return text.replace(OFFICIAL, self.origin).encode()

    def paths(self) -> list[str]:
        return [each.path for each in self.seen]

    def well(self) -> None:
        """Answer everything as the service does on a good day."""
        self.seen.clear()
        self.deeds = {
            POINT: reply(200, self.stored("point.json")),
            GRID: reply(200, self.stored("grid.json"), Last_Modified=MODIFIED),
            HOURLY: reply(200, self.stored("hourly_f.json"), Last_Modified=MODIFIED),
        }

    def answer(self, handler: BaseHTTPRequestHandler) -> None:
        self.seen.append(Seen(handler.path, dict(handler.headers.items())))
        deed = self.deeds.get(handler.path, not_found)
        if isinstance(deed, list):
            deed = deed.pop(0) if len(deed) > 1 else deed[0]
        deed(handler)


def reply(status: int, body: bytes = b"", **headers: str) -> Deed:
    """Answer whole; a length given in the headers replaces the true one."""

    def deed(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(status)
        named = {key.replace("_", "-"): value for key, value in headers.items()}
        for key, value in ({"Content-Length": str(len(body))} | named).items():
            handler.send_header(key, value)
        handler.end_headers()
        handler.wfile.write(body)
        handler.close_connection = named.get("Connection") == "close"

    return deed


not_found = reply(404, b"{}")


def halved(body: bytes) -> Deed:
    """Promise all of a body, send half of it and hang up."""
    half = body[: len(body) // 2]
    return reply(200, half, Content_Length=str(len(body)), Connection="close")


def dripping(text: bytes, *, head: bool = False, pause_s: float = 0.02) -> Deed:
    """Send a byte at a time, in the head of the answer or in its body."""

    def deed(handler: BaseHTTPRequestHandler) -> None:
        handler.close_connection = True
        if not head:
            handler.send_response(200)
            handler.send_header("Content-Length", str(len(text)))
            handler.end_headers()
        lines = b"HTTP/1.1 200 OK\r\nContent-Length: 2\r\nX-Long: " + b"x" * 9_000
        for byte in lines if head else text:
            handler.wfile.write(bytes([byte]))
            time.sleep(pause_s)

    return deed


def silent(handler: BaseHTTPRequestHandler) -> None:
    """Take the question and say nothing until the other side hangs up."""
    handler.close_connection = True
    handler.connection.settimeout(5.0)
    handler.connection.recv(1)


def endless(handler: BaseHTTPRequestHandler) -> None:
    """Send blanks for as long as anybody reads."""
    handler.close_connection = True
    handler.send_response(200)
    handler.end_headers()
    while True:
        handler.wfile.write(b" " * 65_536)


def say(lines: bytes) -> Deed:
    """Send bytes that need not be HTTP, and hang up."""

    def deed(handler: BaseHTTPRequestHandler) -> None:
        handler.close_connection = True
        handler.wfile.write(lines)

    return deed


hang_up = say(b"")
"""End the connection without a word."""


class _Server(ThreadingHTTPServer):
    daemon_threads = True
    block_on_close = False

    def handle_error(self, request: object, client_address: object) -> None:
        """Say nothing: the other side hangs up on purpose."""


def started(host: str = "127.0.0.1") -> tuple[FakeService, Callable[[], None]]:
    """Return a running service that answers nothing yet, and how to end it."""
    holder: list[FakeService] = []

    class Handler(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def do_GET(self) -> None:
            holder[0].answer(self)

        def log_message(self, *args: object) -> None:
            pass

    server = _Server((host, 0), Handler)
    holder.append(FakeService(f"http://{host}:{server.server_port}"))
    thread = threading.Thread(target=server.serve_forever, args=(0.02,), daemon=True)
    thread.start()

    def end() -> None:
        server.shutdown()
        server.server_close()
        thread.join()

    return holder[0], end

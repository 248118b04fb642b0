"""A receiver of requests on this machine that refuses some and answers some not at all.

It takes an id once, as Standard Webhooks asks of receivers; told not to, it takes all.
What it did is counted per id: this is the outside that the outbox is held against.
"""

import random
import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

REFUSED, DROPPED = 0.02, 0.02


class Provider(ThreadingHTTPServer):
    """``taken`` counts what was delivered by id, ``requests`` all that came."""

    daemon_threads = True
    request_queue_size = 64

    def __init__(self, *, seed: int, idempotent: bool = True) -> None:
        super().__init__(("127.0.0.1", 0), _Handler)
        self.taken: Counter[str] = Counter()
        self.requests = self.refused = self.dropped = 0
        self._idempotent = idempotent
        self._random = random.Random(seed)  # noqa: S311
        self._lock = threading.Lock()

    @property
    def url(self) -> str:
        return f"http://hooks.example.org:{self.server_port}/due"

    def decide(self, key: str) -> str:
        """Take a request or refuse it, and say whether to answer."""
        with self._lock:
            self.requests += 1
            chance = self._random.random()
            if chance < REFUSED:
                self.refused += 1
                return "refuse"
            if not (self._idempotent and self.taken[key]):
                self.taken[key] += 1
            if chance < REFUSED + DROPPED:
                self.dropped += 1
                return "drop"
            return "answer"

    @property
    def twice(self) -> int:
        return sum(count > 1 for count in self.taken.values())

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A worker that was killed hangs up: no fault of ours."""


class _Handler(BaseHTTPRequestHandler):
    server: Provider

    def do_POST(self) -> None:
        self.rfile.read(int(self.headers["Content-Length"]))
        decided = self.server.decide(self.headers["webhook-id"])
        if decided == "drop":
            self.close_connection = True
            return
        self.send_response(503 if decided == "refuse" else 204)
        self.send_header("Content-Length", "0")
        self.end_headers()

    def log_message(self, *_args: Any) -> None:
        pass


@contextmanager
def provider(*, seed: int, idempotent: bool = True) -> Iterator[Provider]:
    server = Provider(seed=seed, idempotent=idempotent)
    thread = threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True)
    thread.start()
    try:
        yield server
    finally:
        server.shutdown()
        server.server_close()
        thread.join()

"""A plain mail server on this machine that takes letters and loses some replies.

It speaks as much of RFC 5321 as a letter needs, keeps the Message-IDs that it has
taken, and hangs up after some of them without a word.
"""

import random
import socketserver
import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from email import message_from_bytes
from typing import Any


class MailSink(socketserver.ThreadingTCPServer):
    daemon_threads = True
    allow_reuse_address = True
    request_queue_size = 64

    def __init__(self, *, seed: int, dropped: float) -> None:
        super().__init__(("127.0.0.1", 0), _Talk)
        self.taken: Counter[str] = Counter()
        self.subjects: dict[str, set[str]] = {}
        self.dropped = 0
        self._random, self._share = random.Random(seed), dropped  # noqa: S311
        self._lock = threading.Lock()

    @property
    def port(self) -> int:
        return int(self.server_address[1])

    def take(self, letter: bytes) -> bool:
        """Take a letter; False to say nothing about it."""
        read = message_from_bytes(letter)
        key = str(read["Message-ID"])
        with self._lock:
            self.taken[key] += 1
            self.subjects.setdefault(key, set()).add(str(read["Subject"]))
            if self._random.random() < self._share:
                self.dropped += 1
                return False
        return True

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A worker that was killed hangs up: no fault of ours."""


class _Talk(socketserver.StreamRequestHandler):
    server: MailSink

    def handle(self) -> None:
        self._say("220 sink")
        while line := self.rfile.readline():
            verb = line[:4].upper()
            if verb == b"DATA":
                self._say("354 go on")
                if not self.server.take(self._letter()):
                    return
                self._say("250 taken")
            elif verb == b"QUIT":
                self._say("221 bye")
                return
            else:
                self._say("250 ok")

    def _letter(self) -> bytes:
        lines = []
        while (line := self.rfile.readline()) not in (b".\r\n", b""):
            lines.append(line)
        return b"".join(lines)

    def _say(self, text: str) -> None:
        self.wfile.write(f"{text}\r\n".encode())


@contextmanager
def mail_sink(*, seed: int, dropped: float) -> Iterator[MailSink]:
    server = MailSink(seed=seed, dropped=dropped)
    thread = threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True)
    thread.start()
    try:
        yield server
    finally:
        server.shutdown()
        server.server_close()
        thread.join()

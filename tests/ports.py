"""Ports for servers of the tests' own."""

import random
import socket
from contextlib import closing

_BELOW_OUTGOING = range(20_000, 32_000)
"""Where no outgoing connection takes its own port: a server that was killed finds it
free again when it is started anew."""


def free_port() -> int:
    """Return a port that nobody listens at."""
    for port in random.SystemRandom().sample(_BELOW_OUTGOING, 100):
        try:
            with closing(socket.create_server(("127.0.0.1", port))):
                return port
        except OSError:
            continue
    raise AssertionError("no free port was found")

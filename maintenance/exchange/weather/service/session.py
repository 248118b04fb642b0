"""Connections that wait for nothing beyond a deadline, however slowly bytes drip.

A time-out of a socket holds for one wait alone: a server that sends a byte now and
then could hold a reader for days, in the head of its answer as well as in the body.
Here each wait is as long as the deadline leaves, and no longer.
"""

import io
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any, Final, cast

import requests
from requests.adapters import HTTPAdapter
from urllib3 import HTTPConnectionPool, HTTPSConnectionPool
from urllib3.connection import HTTPConnection, HTTPSConnection

Clock = Callable[[], float]

_END: Final[ContextVar[tuple[Clock, float]]] = ContextVar("deadline")


@contextmanager
def deadline(clock: Clock, seconds: float) -> Iterator[None]:
    """Let whatever is read inside wait until then, and no longer.

    Parameters
    ----------
    clock : callable
        Monotonic. [s]
    seconds : float
        From now on. [s]
    """
    token = _END.set((clock, clock() + seconds))
    try:
        yield
    finally:
        _END.reset(token)


def time_left() -> float:
    """Return how long may still be waited.

    Returns
    -------
    float
        Above 0. [s]

    Raises
    ------
    TimeoutError
        If the deadline has passed.
    """
    clock, end = _END.get()
    left = end - clock()
    if left <= 0.0:
        raise TimeoutError("the deadline has passed")
    return left


class WeatherSession(requests.Session):
    """Connections to the weather service, kept open from one request to the next."""

    def __init__(self) -> None:
        super().__init__()
        self.mount("https://", _Adapter(max_retries=0))
        self.mount("http://", _Adapter(max_retries=0))

    def get_redirect_target(self, resp: requests.Response) -> str | None:
        """Return nothing: to follow, or even to look, this would read whole bodies."""


class _Reading(io.RawIOBase):
    """The reading side of a socket."""

    def __init__(self, sock: socket.socket) -> None:
        self._sock = sock
        self._raw = sock.makefile("rb", buffering=0)

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: Any) -> int | None:
        self._sock.settimeout(time_left())
        return self._raw.readinto(buffer)

    def close(self) -> None:
        if not self.closed:
            self._raw.close()
        super().close()


class _Socket:
    """A connected socket that is read by way of `_Reading`."""

    def __init__(self, sock: socket.socket) -> None:
        self._sock = sock

    def __getattr__(self, name: str) -> Any:
        return getattr(self._sock, name)

    def makefile(self, mode: str) -> io.BufferedReader:
        return io.BufferedReader(_Reading(self._sock))


class _Connection(HTTPConnection):
    def connect(self) -> None:
        super().connect()
        self.sock = cast("socket.socket", _Socket(self.sock))


class _SecureConnection(HTTPSConnection):
    def connect(self) -> None:
        super().connect()
        self.sock = cast("socket.socket", _Socket(self.sock))


class _Pool(HTTPConnectionPool):
    ConnectionCls = _Connection


class _SecurePool(HTTPSConnectionPool):
    ConnectionCls = _SecureConnection


_POOLS: Final = {"http": _Pool, "https": _SecurePool}


class _Adapter(HTTPAdapter):
    def init_poolmanager(self, *args: Any, **kwargs: Any) -> None:
        super().init_poolmanager(*args, **kwargs)
        self.poolmanager.pool_classes_by_scheme = _POOLS

    def proxy_manager_for(self, proxy: str, **kwargs: Any) -> Any:
        manager = super().proxy_manager_for(proxy, **kwargs)
        manager.pool_classes_by_scheme = _POOLS
        return manager

"""A Redis of the tests' own, at a free port and in a folder that is thrown away."""

import shutil
import signal
import subprocess
from pathlib import Path
from time import monotonic, sleep

from redis import Redis, RedisError

from tests.ports import free_port

PROGRAM = shutil.which("redis-server")
LACK = None if PROGRAM else "needs redis-server (Debian: apt install redis-server)"


class RedisServer:
    """Starts without persistence: what it is killed with is gone."""

    def __init__(self, folder: Path, *options: str) -> None:
        self.port = free_port()
        self.url = f"redis://127.0.0.1:{self.port}/0"
        self._folder, self._options = folder, options
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        assert PROGRAM
        self._process = subprocess.Popen(
            [
                *(PROGRAM, "--port", str(self.port), "--bind", "127.0.0.1"),
                *("--dir", str(self._folder), "--save", "", "--appendonly", "no"),
                *self._options,
            ],
            stdout=subprocess.DEVNULL,
        )
        until = monotonic() + 20
        while monotonic() < until:
            try:
                with Redis(port=self.port) as client:
                    client.ping()
                return
            except RedisError:
                sleep(0.05)
        raise AssertionError("redis-server did not start")

    def kill(self) -> None:
        if self._process is not None:
            self._process.send_signal(signal.SIGKILL)
            self._process.wait()
            self._process = None

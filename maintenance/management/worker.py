"""The one background worker of the embedded default, which lives and dies with `serve`.

`serve` starts a keeper, the keeper starts the worker, and either is started again when
it has ended. Each is told the process that it belongs to, and ends when that is gone,
even where it was killed. The keeper imports no more than it needs to wait.
"""

import ctypes
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Event, Thread
from time import monotonic, sleep
from typing import Final

FIRST_WAIT_S: Final = 1.0
LONGEST_WAIT_S: Final = 60.0
STEADY_S: Final = 60.0
"""A worker that has run so long before it ended is started again at once."""

LOOKS_EVERY_S: Final = 0.2
ENDS_WITHIN_S: Final = 5.0
"""Then the worker is killed: a piece that was at work is done by the next one."""

LOG_FILE: Final = "worker.log"
_LINUX_PR_SET_PDEATHSIG: Final = 1


@contextmanager
def background_worker(data_dir: Path, base_dir: Path) -> Iterator[None]:
    """Have a worker at work until the end of the block, in this process only."""
    keeper = _start("keep", data_dir=data_dir, base_dir=base_dir)
    owner, over = os.getpid(), Event()
    watch = Thread(target=_watch, args=(keeper, over, data_dir, base_dir), daemon=True)
    watch.start()
    try:
        yield
    finally:
        if os.getpid() == owner:  # a server's forked child leaves the block too
            over.set()
            watch.join()


def _watch(
    keeper: "subprocess.Popen[bytes]", over: Event, data_dir: Path, base_dir: Path
) -> None:
    """Start the keeper again when it was killed, and end it when all is over."""
    begun, wait_s = monotonic(), FIRST_WAIT_S
    while not over.wait(LOOKS_EVERY_S):
        if keeper.poll() is None:
            continue
        wait_s = FIRST_WAIT_S if monotonic() - begun > STEADY_S else wait_s
        if over.wait(wait_s):
            break
        begun, wait_s = monotonic(), min(2.0 * wait_s, LONGEST_WAIT_S)
        with suppress(OSError):  # no process or file to be had now: tried again
            keeper = _start("keep", data_dir=data_dir, base_dir=base_dir)
    _end(keeper, within_s=ENDS_WITHIN_S + 1.0)


def _start(role: str, *, data_dir: Path, base_dir: Path) -> "subprocess.Popen[bytes]":
    paths = [str(base_dir), os.environ.get("PYTHONPATH", "")]
    with (data_dir / LOG_FILE).open("ab") as log:  # what it says before it keeps one
        return subprocess.Popen(  # noqa: S603  (our own program and words)
            [
                *(sys.executable, "-m", "maintenance.management.worker"),
                *(role, str(os.getpid()), str(data_dir), str(base_dir)),
            ],
            env=os.environ
            | {
                "IRRIGATION_DATA": str(data_dir),
                "PYTHONPATH": os.pathsep.join(filter(None, paths)),
            },
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=log,
            start_new_session=True,  # Ctrl-C is for `serve`, which ends us in order
        )


def _end(process: "subprocess.Popen[bytes]", *, within_s: float) -> None:
    process.terminate()
    try:
        process.wait(within_s)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()


def _die_with(parent: int, with_signal: int) -> None:
    """Have the system end this process with its parent; end now if that is gone."""
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(_LINUX_PR_SET_PDEATHSIG, with_signal)
    if os.getppid() != parent:
        sys.exit(0)


def keep(parent: int, data_dir: Path, base_dir: Path) -> None:
    """Keep a worker running while the parent lives."""
    signal.signal(signal.SIGTERM, lambda *_args: sys.exit(0))
    _die_with(parent, signal.SIGTERM)
    wait_s = FIRST_WAIT_S
    while True:
        begun = monotonic()
        child = _start("run", data_dir=data_dir, base_dir=base_dir)
        try:
            while child.poll() is None:
                _look_after(parent)
        finally:
            _end(child, within_s=ENDS_WITHIN_S)
        steady = monotonic() - begun > STEADY_S
        wait_s = FIRST_WAIT_S if steady else wait_s
        until = monotonic() + wait_s
        while monotonic() < until:
            _look_after(parent)
        wait_s = min(2.0 * wait_s, LONGEST_WAIT_S)


def _look_after(parent: int) -> None:
    if os.getppid() != parent:
        sys.exit(0)
    sleep(LOOKS_EVERY_S)


def run(parent: int, data_dir: Path) -> None:
    """Be the worker: tasks one after the other, and the schedule beside them."""
    _die_with(parent, signal.SIGKILL)
    from celery.signals import (  # noqa: PLC0415  (the keeper needs none)
        beat_embedded_init,
        setup_logging,
    )

    from irrigation_site.celery import app  # noqa: PLC0415

    itself = os.getpid()
    beat_embedded_init.connect(
        lambda **_more: _die_with(itself, signal.SIGKILL), weak=False
    )
    setup_logging.connect(lambda **_more: _keep_log(data_dir / LOG_FILE), weak=False)
    app.worker_main(
        [
            *("worker", "--beat", "--scheduler", "celery.beat:Scheduler"),
            *("--pool", "solo"),
            *("--without-gossip", "--without-mingle", "--without-heartbeat"),
        ]
    )


def _keep_log(path: Path) -> None:
    import logging  # noqa: PLC0415
    from logging.handlers import RotatingFileHandler  # noqa: PLC0415

    handler = RotatingFileHandler(
        path, maxBytes=1_000_000, backupCount=1, encoding="utf-8"
    )
    handler.setFormatter(
        logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s")
    )
    logging.basicConfig(level=logging.WARNING, handlers=[handler], force=True)


def main(role: str, parent: str, data_dir: str, base_dir: str) -> None:
    """Be the keeper or the worker."""
    if role == "keep":
        keep(int(parent), Path(data_dir), Path(base_dir))
    else:
        run(int(parent), Path(data_dir))


if __name__ == "__main__":
    main(*sys.argv[1:])

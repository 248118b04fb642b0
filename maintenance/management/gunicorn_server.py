"""Gunicorn in this process; importing this fails where gunicorn cannot run."""

import socket
from pathlib import Path
from typing import Any

from django.core.handlers.wsgi import WSGIHandler
from gunicorn.app.base import BaseApplication
from gunicorn.arbiter import Arbiter

THREADS = 4


class _Application(BaseApplication):  # type: ignore[misc]
    """Gunicorn set up here alone: it reads no file and no variable."""

    def __init__(self, application: WSGIHandler, chosen: dict[str, Any]) -> None:
        self._application = application
        self._chosen = chosen
        super().__init__()

    def load_config(self) -> None:
        for name, value in self._chosen.items():
            if name in self.cfg.settings:  # older versions lack some
                self.cfg.set(name, value)

    def load(self) -> WSGIHandler:
        return self._application


def serve(listener: socket.socket, application: WSGIHandler, *, log: Path) -> None:
    """Serve until a signal ends it; one worker, so that SQLite has one process."""
    chosen = {
        "bind": f"fd://{listener.detach()}",  # gunicorn closes it
        "control_socket_disable": True,
        "errorlog": str(log),
        "graceful_timeout": 5,
        "loglevel": "error",
        "threads": THREADS,
        "timeout": 120,
        "worker_class": "gthread",
        "workers": 1,
    }
    Arbiter(_Application(application, chosen)).run()

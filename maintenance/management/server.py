"""The web server: this machine only, one process, four threads."""

import errno
import logging
import signal
import socket
from collections.abc import Callable
from logging.handlers import RotatingFileHandler
from pathlib import Path

from django.conf import settings
from django.core.handlers.wsgi import WSGIHandler
from django.core.management import CommandError
from django.core.servers.basehttp import ThreadedWSGIServer, WSGIRequestHandler
from django.core.wsgi import get_wsgi_application
from django.db import connections

ADDRESS = "127.0.0.1"
NAMES_OF_THIS_MACHINE = (ADDRESS, "localhost")
DEFAULT_PORT = 8000
LAST_PORT = 65535
LOG_FILE = "server.log"


def open_listener(*, port: int, address: str = ADDRESS) -> socket.socket:
    """Take the port, before anything else is done and waited for in vain.

    An address that is not this machine's own and a port that cannot be had are
    refused with a `CommandError` of one sentence.
    """
    if address not in NAMES_OF_THIS_MACHINE:
        raise CommandError(
            f"Only this machine may be served, at {ADDRESS}, and not {address}: there "
            "are no accounts yet that would keep others out; leave --address away."
        )
    if not 0 <= port <= LAST_PORT:
        raise CommandError(
            f"There is no port {port}: choose one from 1024 to {LAST_PORT}."
        )
    try:
        return socket.create_server((ADDRESS, port), backlog=64)
    except OSError as fault:
        if fault.errno == errno.EADDRINUSE:
            reason = f"Port {port} is in use, perhaps by this tool in another window"
        elif fault.errno == errno.EACCES:
            reason = f"Port {port} is not for ordinary programs"
        else:
            reason = f"Port {port} cannot be opened ({fault.strerror})"
        raise CommandError(
            f"{reason}: choose another, as in `--port {DEFAULT_PORT + 80}`."
        ) from fault


def serve_pages(listener: socket.socket, *, say: Callable[[str], object]) -> None:
    """Serve the pages at a port that was taken, until the person stops it (Ctrl-C).

    The database must have been prepared. A key that others can read is refused
    with an `ImproperlyConfigured` of one sentence.

    Parameters
    ----------
    listener : socket
        From `open_listener`; closed at the end.
    say : callable
        Takes a sentence for the person, and flushes it.
    """
    str(settings.SECRET_KEY)  # made now, or refused now, and not at the first page
    application = get_wsgi_application()  # what is wrong with it shows here too
    log = Path(settings.DATA_DIR) / LOG_FILE
    _keep_log(log)
    connections.close_all()  # a process that is forked must not share one
    say(
        f"Open http://{ADDRESS}:{listener.getsockname()[1]}/ in a browser on this "
        f"machine; Ctrl-C ends it. What you enter is kept in {settings.DATA_DIR}."
    )
    try:
        from maintenance.management import gunicorn_server  # noqa: PLC0415
    except ImportError:  # as on Windows, which lacks what gunicorn is built on
        say("The usual server cannot run here; a simpler one serves instead.")
        _serve_simply(listener, application)
    else:
        gunicorn_server.serve(listener, application, log=log)


def _keep_log(path: Path) -> None:
    """Keep the report of a page that failed in a file; the person sees a sentence."""
    handler = RotatingFileHandler(
        path, maxBytes=1_000_000, backupCount=1, encoding="utf-8"
    )
    handler.setLevel(logging.ERROR)
    handler.setFormatter(
        logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s")
    )
    for name in ("django", "maintenance"):
        logging.getLogger(name).addHandler(handler)


def _serve_simply(listener: socket.socket, application: WSGIHandler) -> None:
    def stop(_signal: int, _frame: object) -> None:
        raise KeyboardInterrupt

    signal.signal(signal.SIGTERM, stop)
    logging.getLogger("django.server").setLevel(logging.ERROR)
    address, port = listener.getsockname()
    server = ThreadedWSGIServer(
        (address, port), WSGIRequestHandler, bind_and_activate=False
    )
    server.socket.close()
    server.socket = listener
    server.server_name, server.server_port = address, port
    server.setup_environ()
    server.set_app(application)
    try:
        server.serve_forever()
    except KeyboardInterrupt:
        pass
    finally:
        server.server_close()

"""The web server: one process, four threads; this machine only, unless people sign in."""

import errno
import logging
import signal
import socket
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from logging.handlers import RotatingFileHandler
from pathlib import Path

from django.conf import settings
from django.core.handlers.wsgi import WSGIHandler
from django.core.management import CommandError
from django.core.servers.basehttp import ThreadedWSGIServer, WSGIRequestHandler
from django.core.wsgi import get_wsgi_application
from django.db import connections

from irrigation_site.settings.surroundings import BASE_DIR
from maintenance.management.worker import background_worker
from maintenance.services.people.owners import has_owner
from maintenance.services.start_checks import refuse_unsafe_start

ADDRESS = "127.0.0.1"
NAMES_OF_THIS_MACHINE = (ADDRESS, "localhost")
DEFAULT_PORT = 8000
LAST_PORT = 65535
LOG_FILE = "server.log"


def open_listener(*, port: int, address: str = ADDRESS) -> socket.socket:
    """Take the port, before anything else is done and waited for in vain.

    Another address than this machine's own is refused where people do not sign in or
    where no name is set under which it is reached; so is a port that cannot be had.
    Each is a `CommandError` of one sentence.
    """
    if address not in NAMES_OF_THIS_MACHINE:
        _refuse_unguarded(address)
    if not 0 <= port <= LAST_PORT:
        raise CommandError(
            f"There is no port {port}: choose one from 1024 to {LAST_PORT}."
        )
    try:
        return _listen(address, port)
    except OSError as fault:
        if fault.errno == errno.EADDRINUSE:
            reason = f"Port {port} is in use, perhaps by this tool in another window"
        elif fault.errno == errno.EACCES:
            reason = f"Port {port} is not for ordinary programs"
        else:
            reason = f"Port {port} cannot be opened at {address} ({fault.strerror})"
        raise CommandError(
            f"{reason}: choose another, as in `--port {DEFAULT_PORT + 80}`."
        ) from fault


def refuse_without_owner(address: str) -> None:
    """Refuse another address than this machine's own while nobody could sign in."""
    if address not in NAMES_OF_THIS_MACHINE and not has_owner():
        raise CommandError(
            "No account has an owner yet who could sign in: run `manage.py make_owner "
            "EMAIL` first."
        )


def _refuse_unguarded(address: str) -> None:
    if not settings.ACCOUNTS:
        raise CommandError(
            f"Only this machine may be served, at {ADDRESS}, and not {address}: there "
            "are no accounts that would keep others out; set IRRIGATION_ACCOUNTS=1, "
            "or leave --address away."
        )
    if not settings.HTTPS:
        raise CommandError(
            f"Whoever comes from elsewhere to {address} needs a name and https: set "
            "IRRIGATION_HOSTS to the name under which it is reached."
        )
    if settings.DEBUG:
        raise CommandError(
            "DEBUG is on and would show the program's insides to strangers: switch it "
            "off, or leave --address away."
        )


def _listen(address: str, port: int) -> socket.socket:
    """Listen at one address; a name of this machine is its first one, not the sixth."""
    if address in NAMES_OF_THIS_MACHINE:
        address = ADDRESS
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    return socket.create_server((address, port), family=family, backlog=64)


def _where(listener: socket.socket) -> str:
    """Return the address to open: passkeys want the name localhost."""
    if settings.HTTPS:
        return f"https://{settings.PUBLIC_HOSTS[0]}/"
    name = "localhost" if settings.ACCOUNTS else ADDRESS
    return f"http://{name}:{listener.getsockname()[1]}/"


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
    refuse_unsafe_start()
    log = Path(settings.DATA_DIR) / LOG_FILE
    _keep_log(log)
    connections.close_all()  # a process that is forked must not share one
    say(
        f"Open {_where(listener)} in a browser"
        f"{'' if settings.HTTPS else ' on this machine'}; Ctrl-C ends it. What you "
        f"enter is kept in {settings.DATA_DIR}."
    )
    with _work_in_the_background():
        _serve(listener, application, log=log, say=say)


def _work_in_the_background() -> AbstractContextManager[None]:
    """Have the embedded worker at work; with Redis the workers run by themselves."""
    if settings.REDIS_URL:
        return nullcontext()
    return background_worker(Path(settings.DATA_DIR), BASE_DIR)


def _serve(
    listener: socket.socket,
    application: WSGIHandler,
    *,
    log: Path,
    say: Callable[[str], object],
) -> None:
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
    address, port = listener.getsockname()[:2]
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

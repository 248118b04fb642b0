"""Links that carry a secret: it stands in no log, and goes to no other site."""

import logging
import re
from typing import Any, Final

from django.http import HttpResponse

_SECRET: Final = re.compile(r"(/(?:calendar|stop)/)[^/\s\"']+")
_LOGGERS: Final = (
    "django.request",
    "django.server",
    "django.security.csrf",
    "gunicorn.access",
    "gunicorn.error",
)


class _Hiding(logging.Filter):
    """Puts a mark in the place of a secret, wherever in a record it stands."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Let every record through, without the secret."""
        record.msg = hidden(record.msg)
        if isinstance(record.args, tuple):
            record.args = tuple(hidden(each) for each in record.args)
        elif record.args:
            record.args = {key: hidden(each) for key, each in record.args.items()}
        return True


def hidden(text: Any) -> Any:
    """Return a text without the secret of a link; anything else as it is."""
    return _SECRET.sub(r"\1…", text) if isinstance(text, str) else text


def hide_secrets_in_logs() -> None:
    """Let no log tell a secret; any number of times."""
    for name in _LOGGERS:
        logger = logging.getLogger(name)
        if not any(isinstance(each, _Hiding) for each in logger.filters):
            logger.addFilter(_Hiding())


def without_trace(answer: HttpResponse) -> HttpResponse:
    """Let an answer be kept by nobody, and its address be told to nobody."""
    answer["Referrer-Policy"] = "no-referrer"
    answer["Cache-Control"] = "private, no-cache"
    answer["X-Robots-Tag"] = "noindex"
    return answer

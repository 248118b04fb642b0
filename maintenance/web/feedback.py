"""What a person is told when something cannot be done: one place for all pages."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from typing import Any, Concatenate, ParamSpec, cast
from urllib.parse import urlsplit

from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase

from maintenance.engine.errors import EngineError
from maintenance.engine.site.record import Faults
from maintenance.services.errors import ConflictError, NotFoundError
from maintenance.web.page import show_page

Arguments = ParamSpec("Arguments")
View = Callable[Concatenate[HttpRequest, Arguments], HttpResponseBase]

_NOT_SHOWN = {"csrfmiddlewaretoken", "version"}


def answered(view: View[Arguments]) -> View[Arguments]:
    """Turn what the engine and the services refuse into pages."""

    @wraps(view)
    def answer(
        request: HttpRequest, *args: Arguments.args, **kwargs: Arguments.kwargs
    ) -> HttpResponseBase:
        try:
            return view(request, *args, **kwargs)
        except NotFoundError as absent:
            raise Http404(str(absent)) from absent
        except ConflictError as conflict:
            return _conflict(request, str(conflict))
        except Faults as refusal:
            lines = [str(fault) for fault in refusal.faults]
            return _refused(request, lines)
        except EngineError as refusal:
            return _refused(request, [str(refusal)])

    return cast("View[Arguments]", answer)


@contextmanager
def refusals_to(say: Callable[[str], object]) -> Iterator[None]:
    """Say beside the form why something was refused, and go on after the block.

    What is gone, or was changed by someone else meanwhile, has pages of its own.
    """
    try:
        yield
    except (ConflictError, NotFoundError):
        raise
    except EngineError as refusal:
        say(str(refusal))


def _conflict(request: HttpRequest, text: str) -> HttpResponse:
    """Keep what was typed in sight: it can be copied into the fresh page."""
    typed: list[tuple[str, str]] = [
        (name, ", ".join(str(value) for value in values if value))
        for name, values in request.POST.lists()
        if name not in _NOT_SHOWN and any(values)
    ]
    context: dict[str, Any] = {
        "text": text,
        "typed": typed,
        "afresh": _came_from(request),
    }
    return show_page(request, "conflict.html", context, status=409)


def _came_from(request: HttpRequest) -> str:
    """Return the page whose button was pressed: many buttons have no page."""
    page = urlsplit(request.headers.get("Referer", ""))
    if page.netloc != request.get_host() or page.path.startswith("//"):
        return request.path
    return page._replace(scheme="", netloc="", fragment="").geturl()


def _refused(request: HttpRequest, lines: list[str]) -> HttpResponse:
    return show_page(request, "refused.html", {"lines": lines}, status=422)

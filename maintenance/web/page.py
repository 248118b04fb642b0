"""How a page is put together; what stands on every page comes from `access.strip`."""

from collections.abc import Mapping
from typing import BinaryIO

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from maintenance.web.addresses import in_query


def show_page(
    request: HttpRequest,
    template: str,
    context: Mapping[str, object] | None = None,
    *,
    status: int = 200,
) -> HttpResponse:
    """Answer with a page."""
    return render(request, f"maintenance/{template}", context, status=status)


def hand_out(text: str, *, name: str) -> HttpResponse:
    """Answer with a JSON text as a file to keep, whatever stands in its name."""
    answer = HttpResponse(text, content_type="application/json; charset=utf-8")
    answer["Content-Disposition"] = f"attachment; filename*=UTF-8''{in_query(name)}"
    return answer


def show_photo(file: BinaryIO, *, name: str) -> HttpResponse:
    """Answer with a photo, and nothing that a browser could take for a program."""
    answer = HttpResponse(file.read(), content_type="image/jpeg")
    answer["Content-Disposition"] = f'inline; filename="{name}"'
    answer["Content-Security-Policy"] = "sandbox; default-src 'none'"
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cache-Control"] = "private, no-store"
    return answer

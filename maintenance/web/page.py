"""How a page is put together: the same strip on top, the units of the browser."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import NoReverseMatch, reverse

from maintenance.web.addresses import in_query
from maintenance.web.units import system_of


@dataclass(frozen=True, slots=True)
class NavigationLink:
    """One entry of the strip on top of every page."""

    name: str
    address: str
    here: bool


_ENTRIES: Final = (
    ("Sites", "home"),
    ("Season", "season_office"),
    ("Frost", "freeze_office"),
    ("Compressors", "compressors"),
    ("Worksheets", "worksheets"),
    ("Import", "import"),
)


def _navigation(path: str) -> tuple[NavigationLink, ...]:
    links: list[NavigationLink] = []
    for name, route in _ENTRIES:
        try:
            address = reverse(route)
        except NoReverseMatch:
            continue
        here = path == address or (
            path.startswith("/sites/") if route == "home" else path.startswith(address)
        )
        links.append(NavigationLink(name, address, here))
    return tuple(links)


def show_page(
    request: HttpRequest,
    template: str,
    context: Mapping[str, object] | None = None,
    *,
    status: int = 200,
) -> HttpResponse:
    """Answer with a page in this browser's units."""
    shared: dict[str, object] = {
        "system": system_of(request),
        "navigation": _navigation(request.path),
    }
    return render(
        request, f"maintenance/{template}", {**shared, **(context or {})}, status=status
    )


def hand_out(text: str, *, name: str) -> HttpResponse:
    """Answer with a JSON text as a file to keep, whatever stands in its name."""
    answer = HttpResponse(text, content_type="application/json; charset=utf-8")
    answer["Content-Disposition"] = f"attachment; filename*=UTF-8''{in_query(name)}"
    return answer

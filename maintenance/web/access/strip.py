"""The strip on top of every page: where one may go, who is asking, which units."""

from dataclasses import dataclass
from typing import Final

from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse
from django.utils.functional import SimpleLazyObject

from maintenance.services.people.roles import MAY, Permission
from maintenance.services.people.standing import Viewer
from maintenance.web.access.silence import silence
from maintenance.web.access.viewer import accounts_on, find_viewer
from maintenance.web.units import system_of


@dataclass(frozen=True, slots=True)
class NavigationLink:
    """One entry of the strip on top of every page."""

    name: str
    address: str
    here: bool


_ENTRIES: Final[tuple[tuple[str, str, Permission], ...]] = (
    ("Sites", "home", "see"),
    ("Visits", "visit_list", "plan"),
    ("Season", "season_office", "plan"),
    ("Due", "due", "plan"),
    ("Frost", "freeze_office", "plan"),
    ("Backflow", "due_list", "see"),
    ("Compressors", "compressors", "plan"),
    ("Worksheets", "worksheets", "plan"),
    ("Import", "import", "edit"),
)
_OF_PEOPLE: Final[tuple[str, str, Permission]] = ("People", "people", "people")


def _navigation(path: str, viewer: Viewer | None) -> tuple[NavigationLink, ...]:
    links: list[NavigationLink] = []
    entries = (*_ENTRIES, _OF_PEOPLE) if accounts_on() else _ENTRIES
    for name, route, needed in entries:
        if accounts_on() and not (viewer and viewer.may(needed)):
            continue
        try:
            address = reverse(route)
        except NoReverseMatch:
            continue
        here = path == address or (
            path.startswith("/sites/") if route == "home" else path.startswith(address)
        )
        links.append(NavigationLink(name, address, here))
    return tuple(links)


def _may(viewer: Viewer | None) -> frozenset[Permission]:
    if viewer:
        return MAY[viewer.role]
    return frozenset() if accounts_on() else MAY["owner"]


def strip(request: HttpRequest) -> dict[str, object]:
    """Give every template the strip on top, who asks, and the browser's units."""
    # The one person of this machine needs no strip that tells who they are.
    viewer = find_viewer(request) if accounts_on() else None
    return {
        "system": system_of(request),
        "navigation": _navigation(request.path, viewer),
        "viewer": viewer,
        "accounts": accounts_on(),
        "may": _may(viewer),
        "silence": SimpleLazyObject(lambda: silence(request)),
    }

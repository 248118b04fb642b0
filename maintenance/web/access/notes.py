"""Gate codes, keys and dogs: seen by those who go there, printed when asked for."""

from dataclasses import replace
from typing import Final

from django.http import HttpRequest

from maintenance.engine.site import Site
from maintenance.web.access.viewer import viewer_of

ASKED: Final = "access"
"""``?access=1`` puts them on a print."""
PATHS: Final = ("card.access",)
"""Where a site's record holds them, as its history names the places."""


def may_see_access(request: HttpRequest) -> bool:
    """Tell whether the person may see how to get in."""
    return viewer_of(request).may("see_access")


def access_on_print(request: HttpRequest) -> bool:
    """Tell whether a print shall carry it: only if asked for, and permitted."""
    return request.GET.get(ASKED) == "1" and may_see_access(request)


def without_access(site: Site) -> Site:
    """Return a site without what tells how to get in."""
    if site.card is None or site.card.access is None:
        return site
    return replace(site, card=replace(site.card, access=None))


def as_seen(request: HttpRequest, site: Site) -> Site:
    """Return a site as the person may see it."""
    return site if may_see_access(request) else without_access(site)

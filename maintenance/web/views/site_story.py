"""All that happened at one site, on one page."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from maintenance.services.visits import story
from maintenance.web.access.notes import may_see_access
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page


@require_safe
@answered
def site_story(request: HttpRequest, key: str) -> HttpResponse:
    """Tell calls, visits, lists, tests and findings of a site by date."""
    found = story.site_story(account_of(request), site_key=key)
    context = {"story": found, "private": may_see_access(request)}
    return show_page(request, "site_story.html", context)

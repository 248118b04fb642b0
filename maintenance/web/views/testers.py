"""The testers of the account: list, add, edit, off the list and on it again."""

from typing import Final

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from maintenance.services.backflow.kit import (
    all_testers,
    get_tester,
    set_tester_retired,
    store_tester,
)
from maintenance.web.feedback import answered
from maintenance.web.forms.kit import TesterForm
from maintenance.web.kit_pages import Kit, put_off, show_edit, show_list, show_new

_KIT: Final = Kit(
    "tester",
    "issued",
    TesterForm,
    all_testers,
    get_tester,
    store_tester,
    set_tester_retired,
)


@require_safe
@answered
def testers(request: HttpRequest) -> HttpResponse:
    """List the testers, and how the certificate of each stands today."""
    return show_list(request, _KIT)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def new(request: HttpRequest) -> HttpResponse:
    """Add a tester."""
    return show_new(request, _KIT)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def edit(request: HttpRequest, kit_id: int) -> HttpResponse:
    """Change a tester; signed tests keep what they were signed with."""
    return show_edit(request, _KIT, kit_id)


@require_POST
@answered
def retire(request: HttpRequest, kit_id: int) -> HttpResponse:
    """Take a tester off the list, or put one back on it."""
    return put_off(request, _KIT, kit_id)

"""The gauges of the account: list, add, edit, off the list and on it again."""

from typing import Final

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from maintenance.services.backflow.kit import (
    all_gauges,
    get_gauge,
    set_gauge_retired,
    store_gauge,
)
from maintenance.web.feedback import answered
from maintenance.web.forms.kit import GaugeForm
from maintenance.web.kit_pages import Kit, put_off, show_edit, show_list, show_new

_KIT: Final = Kit(
    "gauge",
    "calibrated",
    GaugeForm,
    all_gauges,
    get_gauge,
    store_gauge,
    set_gauge_retired,
)


@require_safe
@answered
def gauges(request: HttpRequest) -> HttpResponse:
    """List the gauges, and how the calibration of each stands today."""
    return show_list(request, _KIT)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def new(request: HttpRequest) -> HttpResponse:
    """Add a gauge."""
    return show_new(request, _KIT)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def edit(request: HttpRequest, kit_id: int) -> HttpResponse:
    """Change a gauge; signed tests keep what they were signed with."""
    return show_edit(request, _KIT, kit_id)


@require_POST
@answered
def retire(request: HttpRequest, kit_id: int) -> HttpResponse:
    """Take a gauge off the list, or put one back on it."""
    return put_off(request, _KIT, kit_id)

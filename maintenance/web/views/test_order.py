"""The order in which an authority wants the fields of a report."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from maintenance.services.backflow.filing import move_field, report_order, reset_order
from maintenance.services.errors import ServiceError
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page
from maintenance.web.who import who_works


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def order(request: HttpRequest) -> HttpResponse:
    """Show the fields in their order, move one, or take our own order again."""
    account = account_of(request)
    if request.method != "POST":
        context = {"fields": report_order(account)}
        return show_page(request, "test_order.html", context)
    now, who = timezone.now(), who_works(request)
    if "reset" in request.POST:
        reset_order(account, now=now, actor=who)
        messages.success(request, "The fields stand in our own order again.")
        return redirect("test_order")
    key, place = request.POST.get("key", ""), request.POST.get("place", "").strip()
    if not (place.isascii() and place.isdigit() and len(place) <= 4):
        raise ServiceError(f'"{place[:20]}" is no place: write a number such as 3.')
    move_field(account, key=key, place=int(place), now=now, actor=who)
    return redirect(f"{reverse('test_order')}#{key}")

"""Photos of a visit: added, shown, taken out."""

from typing import BinaryIO, cast

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from maintenance.engine.errors import EngineError
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.services.visits.photos import (
    add_visit_photo,
    open_visit_photo,
    set_visit_photo_removed,
)
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_photo
from maintenance.web.visit_page import Refusal, show_visit
from maintenance.web.who import who_works


@require_POST
@answered
def add(request: HttpRequest, visit_id: int) -> HttpResponse:
    """Keep a photo, drawn anew."""
    account, file = account_of(request), request.FILES.get("photo")
    try:
        if file is None or file.file is None:
            raise ServiceError("Choose a photo, or take one.")
        add_visit_photo(
            account,
            visit_id=visit_id,
            picture=cast("BinaryIO", file.file),
            caption=request.POST.get("caption", ""),
            now=timezone.now(),
            actor=who_works(request),
        )
    except NotFoundError:
        raise
    except EngineError as refused:
        typed = {"caption": request.POST.get("caption", "")}
        refusal = Refusal("photos", str(refused), typed)
        return show_visit(request, visit_id, refusal=refusal, status=422)
    return _back(visit_id)


@require_safe
@answered
def show(request: HttpRequest, visit_id: int, picture_id: int) -> HttpResponse:
    """Show a photo."""
    account = account_of(request)
    with open_visit_photo(account, visit_id=visit_id, photo_id=picture_id) as file:
        return show_photo(file, name=f"visit-photo-{picture_id}.jpg")


@require_POST
@answered
def remove(request: HttpRequest, visit_id: int, picture_id: int) -> HttpResponse:
    """Take a photo out of the visit; its file stays."""
    set_visit_photo_removed(
        account_of(request),
        visit_id=visit_id,
        photo_id=picture_id,
        removed=True,
        now=timezone.now(),
        actor=who_works(request),
    )
    return _back(visit_id)


def _back(visit_id: int) -> HttpResponse:
    return redirect(f"{reverse('visit', args=[visit_id])}#photos")

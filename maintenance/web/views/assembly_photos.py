"""Photos of an assembly: added, shown, taken out of the register and put back."""

from typing import TYPE_CHECKING

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import (
    require_http_methods,
    require_POST,
    require_safe,
)

from maintenance.services.backflow.assembly_page import assembly_record
from maintenance.services.backflow.assembly_rows import get_assembly
from maintenance.services.backflow.photos import (
    add_photo,
    open_photo,
    set_photo_removed,
)
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.forms.answers import AnswerForm, ask
from maintenance.web.page import show_page, show_photo
from maintenance.web.views.assemblies import described
from maintenance.web.who import who_works

if TYPE_CHECKING:
    from django.core.files.uploadedfile import UploadedFile


class PhotoForm(AnswerForm):
    """A file and what it shows."""

    groups = (("", ("photo", "caption")),)

    photo = forms.FileField(
        label="Photo",
        help_text="JPEG, PNG or WebP, at most 15 MB and 50 million pixels.",
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png,image/webp"}),
        error_messages={"empty": "The file is empty: choose a photo."},
    )
    caption = ask("What it shows", "Such as winter position, cocks open.", short=False)

    def clean_photo(self) -> "UploadedFile[bytes]":
        """Want a file."""
        file: UploadedFile[bytes] | None = self.cleaned_data["photo"]
        if file is None:
            raise forms.ValidationError("Choose a photo.")
        return file


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def add(request: HttpRequest, key: str, link: str, device_id: int) -> HttpResponse:
    """Ask for a photo and keep it, drawn anew."""
    account, now = account_of(request), timezone.now()
    record = assembly_record(
        account, site_key=key, link=link, device_id=device_id, now=now
    )
    posted = request.method == "POST"
    form = PhotoForm(*((request.POST, request.FILES) if posted else ()))
    if posted and form.is_valid():
        try:
            add_photo(
                account,
                device_id=record.line.device_id,
                picture=form.cleaned_data["photo"].file,
                caption=form.cleaned_data["caption"],
                now=now,
                actor=who_works(request),
            )
        except NotFoundError:
            raise
        except ServiceError as refusal:
            form.add_error("photo", str(refusal))
        else:
            messages.success(request, "Stored, without its hidden data.")
            return redirect("one_assembly", key, link, device_id)
    context = {
        **described(record),
        "form": form,
        "heading": f"A photo of {link}",
        "button": "Store",
        "lead": (
            "The photo is drawn anew before it is kept: where and when it was taken, "
            "which a camera writes into it, stays behind."
        ),
    }
    status = 422 if form.errors else 200
    return show_page(request, "assembly_form.html", context, status=status)


@require_safe
@answered
def photo(
    request: HttpRequest, key: str, link: str, device_id: int, photo_id: int
) -> HttpResponse:
    """Show a photo."""
    account = account_of(request)
    row = get_assembly(account, site_key=key, link=link, device_id=device_id)
    with open_photo(account, device_id=row.pk, photo_id=photo_id) as file:
        return show_photo(file, name=f"assembly-photo-{photo_id}.jpg")


@require_POST
@answered
def remove(
    request: HttpRequest, key: str, link: str, device_id: int, photo_id: int
) -> HttpResponse:
    """Take a photo out of the register, or put it back."""
    account = account_of(request)
    row = get_assembly(account, site_key=key, link=link, device_id=device_id)
    removed = request.POST.get("put_back") != "yes"
    set_photo_removed(
        account,
        device_id=row.pk,
        photo_id=photo_id,
        removed=removed,
        now=timezone.now(),
        actor=who_works(request),
    )
    messages.success(request, "Taken out." if removed else "Put back.")
    return redirect("one_assembly", key, link, device_id)

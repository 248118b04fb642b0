"""Import: a site or a compressor from a file or pasted, all faults at once."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from maintenance.engine.site import Compressor, Site
from maintenance.engine.site.record import Fault, Faults
from maintenance.exchange.compressor_file import read_compressor
from maintenance.exchange.site_file import read_site
from maintenance.services.inventory.store import store_compressor, store_site
from maintenance.web.access.viewer import account_of, actor_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page

_LARGEST_BYTES = 16_000_000


class ImportForm(forms.Form):
    """A file, or the text of one."""

    use_required_attribute = False

    file = forms.FileField(
        label="A file", required=False, help_text="Of a site or of a compressor."
    )
    text = forms.CharField(
        label="Or paste it here",
        required=False,
        strip=False,
        widget=forms.Textarea(
            attrs={"class": "file", "rows": 12, "spellcheck": "false"}
        ),
    )

    def content(self) -> str:
        """Return the text of the file, or what was pasted."""
        upload: Any = self.cleaned_data["file"]
        if not upload:
            return str(self.cleaned_data["text"])
        if upload.size > _LARGEST_BYTES:
            raise Faults([Fault("file", "is too long; the tool reads at most 16 MB.")])
        try:
            return str(upload.read().decode("utf-8"))
        except UnicodeDecodeError as error:
            text = f"is not UTF-8 at byte {error.start + 1}; save it as UTF-8."
            raise Faults([Fault("file", text)]) from error


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def import_page(request: HttpRequest) -> HttpResponse:
    """Read a file; store it whole or not at all."""
    if request.method != "POST":
        return show_page(request, "import.html", {"form": ImportForm()})
    form = ImportForm(request.POST, request.FILES)
    form.is_valid()
    faults: tuple[Fault, ...] = ()
    content, checked = str(form.cleaned_data.get("text", "")), ""
    try:
        content = form.content()
        value = _read(content)
        if "check" not in request.POST:
            return _stored(request, value)
        checked = _in_a_sentence(value)
    except Faults as refusal:
        faults = refusal.faults
    context = {
        "form": ImportForm(initial={"text": content}),
        "faults": faults,
        "checked": checked,
    }
    return show_page(request, "import.html", context, status=422 if faults else 200)


def _read(content: str) -> Site | Compressor:
    # The reader of the other kind would refuse the format alone.
    if '"compressor/' in content[:2000]:
        return read_compressor(content)
    return read_site(content)


def _in_a_sentence(value: Site | Compressor) -> str:
    if isinstance(value, Compressor):
        return f'No fault found in the compressor "{value.id}". Nothing was stored.'
    return (
        f'No fault found in "{value.name}": {len(value.points)} points, '
        f"{len(value.links)} links, {len(value.zones)} zones. Nothing was stored."
    )


def _stored(request: HttpRequest, value: Site | Compressor) -> HttpResponse:
    account, now = account_of(request), timezone.now()
    actor = actor_of(request)
    if isinstance(value, Compressor):
        kept = store_compressor(value, account=account, now=now, actor=actor)
        new = kept.created or kept.changed
        messages.success(request, "Stored." if new else "It was here already.")
        return redirect("compressors")
    stored = store_site(value, account=account, now=now, actor=actor)
    if stored.created:
        said = "Stored."
    elif stored.changed or stored.retired:
        said = f"{len(stored.changed)} changed, {len(stored.retired)} parts retired."
    else:
        said = "It was here already; nothing changed."
    messages.success(request, said)
    return redirect("site", stored.key)

"""The parts of a site: each one can be edited, added, retired and put back."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from maintenance.engine.site import Site, Zone
from maintenance.engine.site.changes import (
    SECTIONS,
    Part,
    Section,
    part_of,
    parts_of,
    put_back,
    with_part,
    without_part,
)
from maintenance.engine.site.record import Faults, from_record, to_record
from maintenance.engine.site.shapes import KindsShape, ListShape, fields_of
from maintenance.services.inventory.layout import lay_out_zone, take_layout_back
from maintenance.services.inventory.queries import site as site_of, site_version
from maintenance.services.inventory.store import store_site
from maintenance.web.access.viewer import account_of, actor_of
from maintenance.web.feedback import answered
from maintenance.web.forms.part import PartForm
from maintenance.web.forms.wording import KINDS, SECTION_NAMES
from maintenance.web.page import show_page
from maintenance.web.suggestions import suggestions
from maintenance.web.undo import class_of, forget_undo, keep_undo, waiting_undo

if TYPE_CHECKING:
    from maintenance.models import Account

_NEVER_ASKED = frozenset({"kind", "format"})
_PARTS = frozenset({"points", "links", "zones", "controllers"})


@dataclass(frozen=True, slots=True)
class AddableKind:
    """A kind of part that can be added to a site."""

    section: Section
    kind: str
    name: str


def addable_kinds() -> list[AddableKind]:
    """Return all kinds of points and links, and the zone and the controller."""
    found: list[AddableKind] = []
    for section in SECTIONS:
        shape = next(f.shape for f in fields_of(Site) if f.key == section)
        item = shape.item if isinstance(shape, ListShape) else None
        kinds = dict(item.kinds) if isinstance(item, KindsShape) else {}
        if not kinds:
            name = SECTION_NAMES[section]
            found.append(AddableKind(section, name, name))
        found += [AddableKind(section, kind, KINDS[kind]) for kind in kinds]
    found.insert(-1, AddableKind("zones", "quick", "zone as a straight run"))
    return found


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def edit_part(request: HttpRequest, key: str, section: str, part: str) -> HttpResponse:
    """Change one part."""
    place = _section(section)
    account = account_of(request)
    version = site_version(account, key=key)
    site = site_of(account, key=key)
    held = part_of(site, place, part)
    if held is None:
        raise Http404
    record = to_record(held)
    without = {"id"} | _unfit(place, "quick" if record.get("quick") else "")
    form = PartForm(
        type(held),
        record=record,
        data=request.POST if request.method == "POST" else None,
        without=_NEVER_ASKED | without,
    )
    if request.method == "POST" and form.is_valid():
        answer = _store_part(request, account, site, place, form)
        if answer:
            return answer
    kind = KINDS.get(str(record.get("kind")), SECTION_NAMES[place])
    context = {
        "title": f"{kind[0].upper()}{kind[1:]} {part}",
        "part": part,
        "section": place,
        "quick": held.quick if isinstance(held, Zone) else None,
    }
    return _show_form(request, site, form, version, context)


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def add_part(request: HttpRequest, key: str, section: str, kind: str) -> HttpResponse:
    """Add a part of a kind."""
    place = _section(section)
    cls = class_of(place, kind)
    if cls is None or (
        place in ("zones", "controllers")
        and kind not in ("quick", SECTION_NAMES[place])
    ):
        raise Http404
    account = account_of(request)
    version = site_version(account, key=key)
    site = site_of(account, key=key)
    of_kind = {"kind": kind} if place in ("points", "links") else {}
    form = PartForm(
        cls,
        record=of_kind,
        data=request.POST if request.method == "POST" else None,
        without=_NEVER_ASKED | _unfit(place, kind),
    )
    if request.method == "POST" and form.is_valid():
        entered = str(form.record().get("id", ""))
        if part_of(site, place, entered):
            form.add_error("id", f'"{entered}" is there already; take another id.')
        else:
            answer = _store_part(request, account, site, place, form)
            if answer:
                return answer
    name = "zone as a straight run" if kind == "quick" else KINDS.get(kind, kind)
    return _show_form(request, site, form, version, {"title": f"Add a {name}"})


@require_http_methods(["GET", "HEAD", "POST"])
@answered
def edit_place(request: HttpRequest, key: str) -> HttpResponse:
    """Change what is said of the site as a whole."""
    account = account_of(request)
    version = site_version(account, key=key)
    site = site_of(account, key=key)
    record = to_record(site)
    unasked = _NEVER_ASKED | _PARTS | {"id"} | (set() if site.card else {"card"})
    form = PartForm(
        Site,
        record=record,
        data=request.POST if request.method == "POST" else None,
        without=frozenset(unasked),
    )
    if request.method == "POST" and form.is_valid():
        try:
            return _store(request, account, from_record(Site, form.record()))
        except Faults as refusal:
            form.refuse(refusal.faults)
    return _show_form(request, site, form, version, {"title": "Name, place and notes"})


@require_POST
@answered
def retire_part(
    request: HttpRequest, key: str, section: str, part: str
) -> HttpResponse:
    """Retire a part and what cannot stand without it; it can be undone."""
    place = _section(section)
    account = account_of(request)
    site = site_of(account, key=key)
    if part_of(site, place, part) is None:
        raise Http404
    taken = without_part(site, place, part)
    answer = _store(request, account, taken.site, said="")
    keep_undo(request, key, taken.parts)
    return answer


@require_POST
@answered
def lay_out(request: HttpRequest, key: str, zone: str) -> HttpResponse:
    """Put a valve, pipes and heads in the place of a quick zone; it can be undone."""
    done = lay_out_zone(
        account_of(request),
        key=key,
        zone=zone,
        now=timezone.now(),
        actor=actor_of(request),
        version=_version_sent(request),
    )
    keep_undo(request, key, [("zones", done.before)], laid_out=done.stored.version)
    return redirect("site", key)


@require_POST
@answered
def undo(request: HttpRequest, key: str) -> HttpResponse:
    """Put back what was retired or laid out last."""
    waiting = waiting_undo(request, key)
    if waiting is None:
        raise Http404
    account, now = account_of(request), timezone.now()
    if waiting.zone and waiting.laid_out is not None:
        take_layout_back(
            account,
            key=key,
            before=waiting.zone,
            now=now,
            actor=actor_of(request),
            version=waiting.laid_out,
        )
    else:
        version = site_version(account, key=key)
        changed = put_back(site_of(account, key=key), waiting.parts)
        store_site(
            changed,
            account=account,
            now=now,
            actor=actor_of(request),
            version=version,
        )
    forget_undo(request)
    messages.success(request, waiting.done)
    return redirect("site", key)


def _section(name: str) -> Section:
    for section in SECTIONS:
        if section == name:
            return section
    raise Http404


def _unfit(section: Section, kind: str) -> frozenset[str]:
    """Return the keys that a zone of the other sort has."""
    if section != "zones":
        return frozenset()
    return frozenset({"valve"} if kind == "quick" else {"quick"})


def _store_part(
    request: HttpRequest,
    account: "Account",
    site: Site,
    section: Section,
    form: PartForm,
) -> HttpResponse | None:
    """Store the site with this part; None where the form now tells the faults."""
    try:
        part: Part = from_record(form.cls, form.record())
    except Faults as refusal:
        form.refuse(refusal.faults)
        return None
    changed = with_part(site, section, part)
    index = [each.id for each in parts_of(changed, section)].index(part.id)
    try:
        return _store(request, account, changed)
    except Faults as refusal:
        form.refuse(refusal.faults, inside=f"{section}[{index}]")
        return None


def _store(
    request: HttpRequest, account: "Account", site: Site, *, said: str = "Stored."
) -> HttpResponse:
    store_site(
        site,
        account=account,
        now=timezone.now(),
        actor=actor_of(request),
        version=_version_sent(request),
    )
    forget_undo(request)
    if said:
        messages.success(request, said)
    return redirect("site", site.id)


def _version_sent(request: HttpRequest) -> int:
    """Return the version that a page was made from; none is a version of its own."""
    given = request.POST.get("version", "")
    return int(given) if given.isascii() and given.isdigit() else -1


def _show_form(
    request: HttpRequest,
    site: Site,
    form: PartForm,
    version: int,
    more: Mapping[str, object],
) -> HttpResponse:
    # Typed on an older version it must go on being refused.
    shared = {
        "site": site,
        "form": form,
        "version": request.POST.get("version", version),
        "suggestions": suggestions(site),
    }
    status = 422 if form.errors else 200
    return show_page(request, "part_form.html", {**shared, **more}, status=status)

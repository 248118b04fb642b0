"""Addresses of the tests alone: five that leak, each in another way, and five that do not.

The walker must find the first five and say nothing of the others.
"""

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.urls import URLPattern, URLResolver, include, path
from django.views.decorators.csrf import csrf_exempt

from maintenance.models import Account, SeasonList, Site
from maintenance.web.access.viewer import account_of


def _site(rows: Any, key: str) -> Site:
    site: Site | None = rows.filter(key=key).first()
    if site is None:
        raise Http404
    return site


def _mine(request: HttpRequest) -> Any:
    return Site.objects.for_account(account_of(request))


def plain_id(request: HttpRequest, key: str) -> HttpResponse:
    return HttpResponse(_site(Site.objects.all(), key).name)


def plain_id_kept(request: HttpRequest, key: str) -> HttpResponse:
    return HttpResponse(_site(_mine(request), key).name)


def child(request: HttpRequest, key: str, list_id: int) -> HttpResponse:
    _site(_mine(request), key)
    found = SeasonList.objects.filter(pk=list_id).first()
    if found is None:
        raise Http404
    return HttpResponse(found.opened_by)


def child_kept(request: HttpRequest, key: str, list_id: int) -> HttpResponse:
    site = _site(_mine(request), key)
    found = SeasonList.objects.filter(pk=list_id, site=site).first()
    if found is None:
        raise Http404
    return HttpResponse(found.opened_by)


@csrf_exempt
def from_body(request: HttpRequest) -> HttpResponse:
    Site.objects.filter(key=request.POST.get("site", "")).update(demo=True)
    return HttpResponse("done")


@csrf_exempt
def from_body_kept(request: HttpRequest) -> HttpResponse:
    _mine(request).filter(key=request.POST.get("site", "")).update(demo=True)
    return HttpResponse("done")


def export(request: HttpRequest) -> HttpResponse:
    return HttpResponse(", ".join(site.name for site in Site.objects.all()))


def export_kept(request: HttpRequest) -> HttpResponse:
    return HttpResponse(", ".join(site.name for site in _mine(request)))


@csrf_exempt
def gone_anyway(request: HttpRequest, key: str) -> HttpResponse:
    if request.method == "POST":
        Account.objects.filter(sites__key=key).update(name="gone")
    _site(_mine(request), key)
    return HttpResponse("done")


@csrf_exempt
def gone_anyway_kept(request: HttpRequest, key: str) -> HttpResponse:
    _site(_mine(request), key)
    return HttpResponse("done")


LEAKS: list[URLPattern] = [
    path("sites/<str:key>/plain/", plain_id, name="plain_id"),
    path("sites/<str:key>/child/<int:list_id>/", child, name="child"),
    path("body/", from_body, name="from_body"),
    path("export/", export, name="export"),
    path("sites/<str:key>/gone/", gone_anyway, name="gone_anyway"),
]
CLEAN: list[URLPattern] = [
    path("sites/<str:key>/plain-kept/", plain_id_kept, name="plain_id_kept"),
    path("sites/<str:key>/kept/<int:list_id>/", child_kept, name="child_kept"),
    path("body-kept/", from_body_kept, name="from_body_kept"),
    path("export-kept/", export_kept, name="export_kept"),
    path("sites/<str:key>/gone-kept/", gone_anyway_kept, name="gone_anyway_kept"),
]
urlpatterns: list[URLPattern | URLResolver] = [
    *LEAKS,
    *CLEAN,
    path("", include("irrigation_site.urls")),
]

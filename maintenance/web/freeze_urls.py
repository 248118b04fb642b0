"""Addresses of the freeze outlook: of one site, and of all."""

from django.urls import URLPattern, path

from maintenance.web.views import freeze, freeze_office

urlpatterns: list[URLPattern] = [
    path("freeze/", freeze_office.freeze_office, name="freeze_office"),
    path("sites/<id:key>/freeze/", freeze.freeze_outlook, name="freeze_outlook"),
    path(
        "sites/<id:key>/freeze/refresh/", freeze.freeze_refresh, name="freeze_refresh"
    ),
]

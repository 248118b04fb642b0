"""The address table of the whole project."""

from django.urls import include, path

urlpatterns = [
    path("", include("maintenance.web.urls")),
    path("account/", include("allauth.account.urls")),
    path("account/second-step/", include("allauth.mfa.urls")),
]

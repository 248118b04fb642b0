"""The address table of the whole project."""

from django.urls import include, path

urlpatterns = [path("", include("maintenance.web.urls"))]

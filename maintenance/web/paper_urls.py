"""Addresses of the office's pages of one list, below ``sites/…/lists/``."""

from django.urls import URLPattern, path

from maintenance.web.views import season_office, season_paper, season_print

urlpatterns: list[URLPattern] = [
    path("<int:list_id>/whole/", season_office.season_whole, name="season_whole"),
    path("<int:list_id>/paper/", season_paper.season_paper, name="season_paper"),
    path("<int:list_id>/print/", season_print.season_print, name="season_print"),
    path(
        "<int:list_id>/print/foot.css",
        season_print.season_print_foot,
        name="season_print_foot",
    ),
]

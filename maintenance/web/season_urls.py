"""Addresses of the season lists of one site, below ``sites/…/lists/``."""

from django.urls import URLPattern, path

from maintenance.web.views import (
    season_add,
    season_close,
    season_deeds,
    season_list,
    season_rebuild,
    season_start,
    season_water,
)

urlpatterns: list[URLPattern] = [
    path("start/<str:season>/", season_start.season_start, name="season_start"),
    path("<number:list_id>/", season_list.season_list, name="season_list"),
    path("<number:list_id>/who/", season_deeds.who, name="season_who"),
    path("<number:list_id>/notes/", season_deeds.notes, name="season_notes"),
    path("<number:list_id>/add/", season_add.add, name="season_add"),
    path("<number:list_id>/close/", season_close.close, name="season_close"),
    path("<number:list_id>/rebuild/", season_rebuild.rebuild, name="season_rebuild"),
    path(
        "<number:list_id>/water-left/", season_water.season_water, name="season_water"
    ),
    path("<number:list_id>/zones/", season_deeds.zones, name="season_zones"),
    path("<number:list_id>/zones/<id:zone>/", season_deeds.zone, name="season_zone"),
    path("<number:list_id>/<number:step>/done/", season_deeds.tick, name="season_tick"),
    path("<number:list_id>/<number:step>/skip/", season_deeds.skip, name="season_skip"),
    path("<number:list_id>/<number:step>/undo/", season_deeds.undo, name="season_undo"),
    path("<number:list_id>/<number:step>/move/", season_deeds.move, name="season_move"),
]

"""Addresses of calls, visits, findings, and of how each site ends a season."""

from django.urls import URLPattern, path

from maintenance.web.views import (
    calls,
    day_sheet,
    findings,
    roll_over,
    season_board,
    site_story,
    visit_deeds,
    visit_photos,
    visit_plan,
    visits,
)

urlpatterns: list[URLPattern] = [
    path("visits/", visits.visit_list, name="visit_list"),
    path("visits/export.csv", visits.export, name="visit_export"),
    path("visits/filters/", visits.keep, name="visit_filter"),
    path(
        "visits/filters/<number:filter_id>/forget/",
        visits.forget,
        name="visit_filter_forget",
    ),
    path("visits/air/", visits.air, name="visit_air"),
    path("visits/new/", visit_plan.new_visit, name="new_visit"),
    path("visits/day/", day_sheet.day_sheet, name="day_sheet"),
    path("visits/board/", season_board.season_board, name="season_board"),
    path("visits/roll-over/", roll_over.roll_over, name="roll_over"),
    path("visits/calls/", calls.call_list, name="call_list"),
    path("visits/calls/new/", calls.new_call, name="new_call"),
    path("visits/calls/<number:call_id>/", calls.call, name="call"),
    path("visits/calls/<number:call_id>/close/", calls.close, name="call_close"),
    path("visits/calls/<number:call_id>/reopen/", calls.reopen, name="call_reopen"),
    path("visits/findings/", findings.finding_list, name="finding_list"),
    path("visits/findings/<number:finding_id>/", findings.finding, name="finding"),
    path(
        "visits/findings/<number:finding_id>/follow-up/",
        findings.follow_up,
        name="finding_follow_up",
    ),
    path(
        "visits/findings/<number:finding_id>/close/",
        findings.close,
        name="finding_close",
    ),
    path("visits/<number:visit_id>/", visit_deeds.visit, name="visit"),
    path("visits/<number:visit_id>/plan/", visit_plan.change, name="visit_plan"),
    path("visits/<number:visit_id>/off/", visit_plan.call_off, name="visit_off"),
    path("visits/<number:visit_id>/start/", visit_deeds.start, name="visit_start"),
    path("visits/<number:visit_id>/list/", visit_deeds.season, name="visit_season"),
    path("visits/<number:visit_id>/report/", visit_deeds.report, name="visit_report"),
    path("visits/<number:visit_id>/found/", visit_deeds.found, name="visit_found"),
    path("visits/<number:visit_id>/end/", visit_deeds.end, name="visit_end"),
    path("visits/<number:visit_id>/again/", visit_deeds.again, name="visit_again"),
    path("visits/<number:visit_id>/photos/", visit_photos.add, name="visit_photo_add"),
    path(
        "visits/<number:visit_id>/photos/<number:picture_id>/",
        visit_photos.show,
        name="visit_photo",
    ),
    path(
        "visits/<number:visit_id>/photos/<number:picture_id>/remove/",
        visit_photos.remove,
        name="visit_photo_remove",
    ),
    path("sites/<id:key>/story/", site_story.site_story, name="site_story"),
]

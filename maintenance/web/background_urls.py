"""Addresses of what runs in the background: long jobs, and whether all is well."""

from django.urls import URLPattern, path

from maintenance.web.views import health, jobs

urlpatterns: list[URLPattern] = [
    path("healthz", health.healthz, name="healthz"),
    path("health/", health.health, name="health"),
    path("jobs/", jobs.job_list, name="jobs"),
    path("jobs/outlooks/", jobs.ask_outlooks, name="ask_outlooks"),
    path("jobs/lists/", jobs.ask_lists, name="ask_lists"),
    path("jobs/reports/", jobs.ask_reports, name="ask_reports"),
    path("jobs/<int:pack_id>/reports.zip", jobs.pack, name="job_pack"),
    path("jobs/<int:job_id>/cancel/", jobs.cancel, name="cancel_job"),
]

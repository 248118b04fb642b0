"""Addresses of field tests: at their assembly, as drafts, and signed."""

from django.urls import URLPattern, path

from maintenance.web.views import (
    test_drafts,
    test_lists,
    test_order,
    test_records,
    test_reports,
)

urlpatterns: list[URLPattern] = [
    path("tests/", test_lists.all_tests, name="test_list"),
    path("tests/export.csv", test_lists.export, name="test_export"),
    path("tests/report-order/", test_order.order, name="test_order"),
    path("tests/drafts/<number:draft_id>/", test_drafts.draft, name="test_draft"),
    path("tests/drafts/<number:draft_id>/sign/", test_drafts.sign, name="test_sign"),
    path("tests/drafts/<number:draft_id>/drop/", test_drafts.drop, name="test_drop"),
    path(
        "tests/drafts/<number:draft_id>/take-up/",
        test_drafts.take_up,
        name="test_take_up",
    ),
    path(
        "tests/drafts/<number:draft_id>/report/",
        test_reports.draft_report,
        name="test_draft_report",
    ),
    path("tests/<number:record_id>/", test_records.record, name="test_record"),
    path("tests/<number:record_id>/retest/", test_records.retest, name="test_retest"),
    path(
        "tests/<number:record_id>/correct/", test_records.correct, name="test_correct"
    ),
    path("tests/<number:record_id>/filed/", test_records.filed, name="test_filed"),
    path(
        "tests/<number:record_id>/filed/<number:filed_id>/undo/",
        test_records.filed_undo,
        name="test_filed_undo",
    ),
    path("tests/<number:record_id>/report/", test_reports.report, name="test_report"),
    path("tests/<number:record_id>/report.pdf", test_reports.pdf, name="test_pdf"),
    path("tests/<number:record_id>/tag/", test_reports.tag, name="test_tag"),
    path(
        "sites/<id:key>/test-reports/",
        test_reports.site_reports,
        name="test_site_reports",
    ),
    path(
        "sites/<id:key>/assemblies/<id:link>/tests/",
        test_lists.assembly,
        name="test_assembly",
    ),
    path(
        "sites/<id:key>/assemblies/<id:link>/tests/begin/",
        test_drafts.begin,
        name="test_begin",
    ),
]

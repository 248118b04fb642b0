"""Reports of tests: on screen, on paper, as a PDF file; and the tag at the assembly."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_safe

from maintenance.documents.test_report import DECIDES, sheet_in_order
from maintenance.documents.test_report_pdf import (
    PAPERS,
    PdfMissingError,
    record_pdf,
)
from maintenance.engine.backflow.verdict_words import RESULT_WORDS
from maintenance.services.backflow.drafts import get_draft
from maintenance.services.backflow.filing import order_of_fields
from maintenance.services.backflow.report_rows import report_rows, report_texts
from maintenance.services.backflow.sign import (
    draft_payload,
    followed_payload,
    judge_draft,
)
from maintenance.services.backflow.test_queries import (
    latest_of_site,
    payloads,
    signed_test,
)
from maintenance.services.inventory.queries import site as whole_site
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page
from maintenance.web.units import system_of


@require_safe
@answered
def report(request: HttpRequest, record_id: int) -> HttpResponse:
    """Show the report of a signed test, to be read or printed."""
    account = account_of(request)
    test = signed_test(account, record_id=record_id)
    sheet = sheet_in_order(test.payload, order_of_fields(account), hash_=test.hash)
    context = {"sheets": [sheet], "decides": DECIDES, "test": test}
    return show_page(request, "test_report.html", context)


@require_safe
@answered
def draft_report(request: HttpRequest, draft_id: int) -> HttpResponse:
    """Show what the report of a draft would hold; it says that it is not signed."""
    account = account_of(request)
    draft = get_draft(account, draft_id)
    payload = draft_payload(draft, judge_draft(draft))
    texts = report_texts(payload, followed_payload(draft))
    told = payload | {"report": report_rows(texts)}
    sheet = sheet_in_order(told, order_of_fields(account))
    context = {"sheets": [sheet], "decides": DECIDES, "draft": draft}
    return show_page(request, "test_report.html", context)


@require_safe
@answered
def site_reports(request: HttpRequest, key: str) -> HttpResponse:
    """Show the last report of each assembly of a site, one to a sheet."""
    account = account_of(request)
    site = whole_site(account, key=key)
    lines = latest_of_site(account, site_key=key)
    told = payloads(account, [line.id for line in lines])
    order = order_of_fields(account)
    sheets = [sheet_in_order(told[line.id], order, hash_=line.hash) for line in lines]
    context = {"sheets": sheets, "decides": DECIDES, "site": site}
    return show_page(request, "test_report.html", context)


@require_safe
@answered
def pdf(request: HttpRequest, record_id: int) -> HttpResponse:
    """Hand the report out as a PDF file, or say how to print one."""
    account = account_of(request)
    test = signed_test(account, record_id=record_id)
    order, paper = order_of_fields(account), PAPERS[system_of(request)]
    try:
        made = record_pdf(test.payload, order, test.hash, paper)
    except PdfMissingError as absent:
        context = {"text": str(absent), "test": test}
        return show_page(request, "test_pdf_missing.html", context, status=503)
    answer = HttpResponse(made, content_type="application/pdf")
    name = f"test-{test.number}.pdf"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


@require_safe
@answered
def tag(request: HttpRequest, record_id: int) -> HttpResponse:
    """Show the tag that hangs at the assembly."""
    test = signed_test(account_of(request), record_id=record_id)
    tester = test.payload["tester"] or {}
    context = {
        "test": test,
        "assembly": test.payload["assembly"],
        "place": test.payload["site"]["name"],
        "tester": tester,
        "result_words": RESULT_WORDS[test.result],
    }
    return show_page(request, "test_tag.html", context)

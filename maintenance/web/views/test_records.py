"""A signed test: what it says, what came after it, and that its report was filed."""

from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from maintenance.documents.test_report import DECIDES, report_sheet
from maintenance.engine.errors import EngineError
from maintenance.services.backflow.assembly_tests import due_after
from maintenance.services.backflow.drafts import begin_correction, begin_retest
from maintenance.services.backflow.filing import record_filed, report_order, undo_filed
from maintenance.services.backflow.report_rows import in_order_of
from maintenance.services.backflow.test_queries import next_assembly, signed_test
from maintenance.services.errors import NotFoundError, ServiceError
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.local_times import local_words
from maintenance.web.page import show_page
from maintenance.web.who import who_works


@require_safe
@answered
def record(request: HttpRequest, record_id: int) -> HttpResponse:
    """Show a signed test as it was signed."""
    return _show(request, record_id)


@require_POST
@answered
def retest(request: HttpRequest, record_id: int) -> HttpResponse:
    """Begin the retest after a test that did not pass."""
    now, who = timezone.now(), who_works(request)
    draft = begin_retest(account_of(request), record_id=record_id, now=now, actor=who)
    return redirect("test_draft", draft)


@require_POST
@answered
def correct(request: HttpRequest, record_id: int) -> HttpResponse:
    """Begin a record that corrects this one."""
    now, who = timezone.now(), who_works(request)
    draft = begin_correction(
        account_of(request), record_id=record_id, now=now, actor=who
    )
    return redirect("test_draft", draft)


@require_POST
@answered
def filed(request: HttpRequest, record_id: int) -> HttpResponse:
    """Record that the report was handed in."""
    typed = {key: request.POST.get(key, "") for key in ("filed_on", "to", "note")}
    try:
        record_filed(
            account_of(request),
            record_id=record_id,
            filed_on=_day(typed["filed_on"]),
            to=typed["to"],
            note=typed["note"],
            now=timezone.now(),
            actor=who_works(request),
        )
    except NotFoundError:
        raise
    except EngineError as refusal:
        told = {"typed": typed, "refusal": str(refusal)}
        return _show(request, record_id, filing=told, status=422)
    messages.success(request, "Noted: the report was handed in.")
    return redirect("test_record", record_id)


@require_POST
@answered
def filed_undo(request: HttpRequest, record_id: int, filed_id: int) -> HttpResponse:
    """Take back that the report was handed in."""
    undo_filed(
        account_of(request),
        record_id=record_id,
        filed_id=filed_id,
        now=timezone.now(),
        actor=who_works(request),
    )
    return redirect("test_record", record_id)


def _show(
    request: HttpRequest,
    record_id: int,
    *,
    filing: dict[str, Any] | None = None,
    status: int = 200,
) -> HttpResponse:
    account = account_of(request)
    test = signed_test(account, record_id=record_id)
    keys = [field.key for field in report_order(account)]
    rows = in_order_of(test.payload["report"], keys)
    context = {
        "test": test,
        "sheet": report_sheet(test.payload, rows, hash_=test.hash),
        "decides": DECIDES,
        "signed_at": local_words(test.signed_at, test.time_zone),
        "follow_up": _may_follow(test),
        "next": next_assembly(account, record_id=record_id),
        "line": due_after(account, record_id=record_id, now=timezone.now()),
        "filing": filing or {},
        "today": timezone.now().date().isoformat(),
    }
    return show_page(request, "test_record.html", context, status=status)


def _may_follow(test: Any) -> bool:
    """Whether a retest is what comes next."""
    return test.result != "passed" and not test.retests and test.corrected_by is None


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as fault:
        raise ServiceError(
            f'"{text[:40]}" is no day: write it like 2026-04-15.'
        ) from fault

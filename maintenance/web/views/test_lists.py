"""All tests, those of one assembly through the years, and a table to take along."""

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from maintenance.documents.test_report_csv import csv_of_tests
from maintenance.engine.backflow.readings import DEVICES, READING_KEYS, reading_words
from maintenance.engine.backflow.typed import reading_text
from maintenance.services.backflow.assembly_tests import AssemblyTests, assembly_tests
from maintenance.services.backflow.test_lines import RecordLine
from maintenance.services.backflow.test_queries import (
    open_drafts,
    payloads,
    signed_tests,
)
from maintenance.web.access.viewer import account_of
from maintenance.web.feedback import answered
from maintenance.web.page import show_page


@require_safe
@answered
def all_tests(request: HttpRequest) -> HttpResponse:
    """Show the drafts and all signed tests."""
    account = account_of(request)
    context = {
        "drafts": open_drafts(account),
        "records": signed_tests(account),
    }
    return show_page(request, "test_list.html", context)


@require_safe
@answered
def assembly(request: HttpRequest, key: str, link: str) -> HttpResponse:
    """Show the tests of one assembly, and where its readings are heading."""
    found = assembly_tests(
        account_of(request), site_key=key, link=link, now=timezone.now()
    )
    context = {
        "tests": found,
        "line": found.due,
        "years": _years(found),
        "warns": any(trend.warns for trend in found.trends),
    }
    return show_page(request, "test_assembly.html", context)


@require_safe
@answered
def export(request: HttpRequest) -> HttpResponse:
    """Hand out all tests as a table for a spreadsheet."""
    account = account_of(request)
    lines = signed_tests(account)
    told = payloads(account, [line.id for line in lines])
    text = csv_of_tests((_line(line), told[line.id]) for line in lines)
    # The mark lets spreadsheets read the letters as they are.
    answer = HttpResponse(f"\ufeff{text}", content_type="text/csv; charset=utf-8")
    name = f"tests-{timezone.now():%Y-%m-%d}.csv"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


def _line(line: RecordLine) -> dict[str, str]:
    return {
        "test": str(line.number),
        "decided_on": line.tested_on.isoformat(),
        "follows": str(line.follows or ""),
        "corrects": str(line.corrects or ""),
        "corrected_by": str(line.corrected_by or ""),
        "filed": "yes" if line.filed else "no",
        "hash": line.hash,
    }


def _years(found: AssemblyTests) -> dict[str, object]:
    """Return the readings as a table, one row for each set, the newest first."""
    device = next((each for each in DEVICES if each == found.kind), None)
    keys = READING_KEYS[device] if device else ()
    heads = [reading_words(device, key) for key in keys] if device else []
    rows = [
        {
            "on": taken.on,
            "serial": taken.serial,
            "after_repair": taken.after_repair,
            "texts": [
                reading_text(taken.readings[key]) if key in taken.readings else "–"
                for key in keys
            ],
        }
        for taken in reversed(found.readings)
    ]
    return {"heads": heads, "rows": rows}

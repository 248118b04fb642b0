"""The file for invoices: one line a visit, numbers as numbers, no text as a formula."""

import csv
import io

import pytest

from maintenance.documents.visits_csv import COLUMNS, csv_of_visits
from maintenance.services.visits.carry_out import VisitReport, write_report
from maintenance.services.visits.choose import VisitChoice
from maintenance.services.visits.queries import invoice_lines
from tests.services.seasons.lists import opened
from tests.services.visits.kept import AUTUMN, NOON, TODAY, ended


def rows_of(account, choice):
    text = csv_of_visits(invoice_lines(account, choice, today=TODAY))
    return list(csv.DictReader(io.StringIO(text)))


ENDED = VisitChoice(state="ended")


def test_a_line_has_what_a_bill_needs(owner, site):
    opened(owner)
    visit = ended(owner, site, "partly", "zone 4 left", **AUTUMN)
    report = VisitReport(parts_used="2 nozzles", readings="static pressure: 48 psi")
    write_report(owner, visit_id=visit, version=3, report=report, now=NOON, actor="Ann")
    (row,) = rows_of(owner, ENDED)
    assert tuple(row) == COLUMNS
    assert row == row | {
        "visit": str(visit),
        "kind": "shutdown",
        "year": "2026",
        "worker": "Ann",
        "outcome": "partly done",
        "arrived": "2026-10-14T08:00-06:00",
        "left": "2026-10-14T12:00-06:00",
        "minutes": "240",
        "zones": "2",
        "zones_done": "0",
        "parts_used": "2 nozzles",
        "readings": "static pressure: 48 psi",
        "note": "zone 4 left",
    }


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\t", "\r"])
def test_no_text_is_taken_for_a_formula(owner, site, sign):
    ended(owner, site, "refused", f"x{sign}1", worker=f"{sign}1+1".strip() or "Ann")
    visit = ended(owner, site, "partly", "y", worker="Ben")
    report = VisitReport(parts_used=f"a\n{sign}1")
    write_report(owner, visit_id=visit, version=3, report=report, now=NOON, actor="Ann")
    text = csv_of_visits(invoice_lines(owner, ENDED, today=TODAY))
    cells = [cell for row in csv.reader(io.StringIO(text)) for cell in row]
    assert [c for c in cells if c.startswith(("=", "+", "-", "@", "\t", "\r"))] == []


def test_all_pages_are_in_the_file(owner, site, monkeypatch):
    monkeypatch.setattr("maintenance.services.visits.queries.IN_ONE_GO", 3)
    for number in range(7):
        ended(owner, site, "refused", "x", worker=f"w{number}")
    numbers = [row["visit"] for row in rows_of(owner, ENDED)]
    assert len(set(numbers)) == len(numbers) == 7

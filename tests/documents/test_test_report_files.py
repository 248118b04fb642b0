"""Files of tests: no cell is a formula, and nothing is fetched for a PDF."""

import csv
import http.server
import io
import threading
import zlib

import pytest

from maintenance.documents.test_report_csv import COLUMNS, cell, csv_of_tests
from maintenance.exchange.csv_cells import text_of_cell

HOSTILE = ("=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx", "\0x", "'=1")


@pytest.mark.parametrize("text", HOSTILE)
def test_a_text_that_could_be_computed_gets_an_apostrophe_and_comes_back(text):
    written = cell("comments", text)
    assert written.startswith("'")
    assert text_of_cell(written) == text


@pytest.mark.parametrize(
    ("column", "text", "written"),
    [
        ("initial_check_1", "5.10", "5.10"),
        ("initial_buffer", "-0.3", "-0.3"),
        ("initial_check_1", "leaked", "leaked"),
        ("initial_check_1", "-x", "'-x"),
        ("serial", "-5", "'-5"),
        ("serial", "12", "12"),
    ],
)
def test_numbers_of_readings_stay_numbers_and_a_serial_stays_text(
    column, text, written
):
    assert cell(column, text) == written


def test_every_cell_of_the_table_is_written_so():
    payload = {
        "report": [["Test", "comments", "comments", "=HYPERLINK(1)"]],
        "site": {"name": "@site"},
        "assembly": {"link": "+B1", "device": "RP"},
        "result": "passed",
        "flags": ["-flag"],
    }
    text = csv_of_tests([({"test": "1"}, payload)])
    head, row = csv.reader(io.StringIO(text))
    assert tuple(head) == COLUMNS
    assert not any(each.startswith(("=", "+", "-", "@", "\t", "\r")) for each in row)
    told = dict(zip(head, row, strict=True))
    assert (told["site"], told["comments"]) == ("'@site", "'=HYPERLINK(1)")


@pytest.fixture
def listener():
    """A server that writes down what it is asked for."""
    asked: list[str] = []

    class Listener(http.server.BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(200)
            self.end_headers()

        def log_message(self, *_args: object) -> None:
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Listener)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}", asked
    server.shutdown()
    thread.join()
    server.server_close()


def hostile_page(address: str, secret: str) -> tuple[str, str]:
    page = (
        f"<link rel=stylesheet href={address}/a><img src={address}/b>"
        f"<img src=file://{secret}><link rel=attachment href=file://{secret}>"
        f"<object data={address}/c></object><p>told"
    )
    return page, f"@import '{address}/d'; p {{ background: url({address}/e); }}"


def streams(pdf: bytes) -> bytes:
    """Return what is packed in a PDF, unpacked."""
    out = []
    for part in pdf.split(b"stream")[1:]:
        try:
            out.append(zlib.decompressobj().decompress(part.lstrip(b"\r\n")))
        except zlib.error:
            continue
    return b"".join(out)


def test_a_pdf_asks_no_address_and_takes_no_file_in(listener, tmp_path):
    pytest.importorskip("weasyprint")
    from maintenance.documents.test_report_pdf import report_pdf  # noqa: PLC0415

    address, asked = listener
    secret = tmp_path / "secret.txt"
    secret.write_text("quagmire " * 50)
    pdf = report_pdf(*hostile_page(address, str(secret)))
    assert pdf.startswith(b"%PDF")
    assert asked == []
    assert b"quagmire" not in pdf + streams(pdf)


def test_without_our_fetcher_the_same_page_would_ask_and_take_the_file(
    listener, tmp_path
):
    weasyprint = pytest.importorskip("weasyprint")
    address, asked = listener
    secret = tmp_path / "secret.txt"
    secret.write_text("quagmire " * 50)
    page, style = hostile_page(address, str(secret))
    pdf = weasyprint.HTML(string=page).write_pdf(
        stylesheets=[weasyprint.CSS(string=style)]
    )
    assert len(asked) >= 3
    assert b"quagmire" in streams(pdf)

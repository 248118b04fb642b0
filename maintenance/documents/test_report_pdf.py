"""A report as a PDF file: made here, from text alone; no address is ever asked."""

from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any, Final

from django.contrib.staticfiles import finders
from django.template.loader import render_to_string

from maintenance.documents.test_report import DECIDES, Payload, sheet_in_order
from maintenance.engine.errors import EngineError

PAPERS: Final = {"us": "Letter", "si": "A4"}
"""The size of a sheet, by the units that a person reads."""

_STYLE: Final = "maintenance/test_report.css"


class PdfMissingError(EngineError):
    """What makes PDF files is not installed."""


def check_pdf() -> None:
    """Find out whether PDF files can be made at all.

    Raises
    ------
    PdfMissingError
        If the library, or what it needs of the system, is not there.
    """
    _library()


def record_pdf(payload: Payload, order: Sequence[str], hash_: str, paper: str) -> bytes:
    """Return the report of a signed test as a PDF file.

    Parameters
    ----------
    payload : mapping
        What was known at the test.
    order : sequence of str
        Keys of the report's fields, as the authority wants them.
    hash_ : str
        The record's.
    paper : str
        One of `PAPERS`.

    Raises
    ------
    PdfMissingError
        If PDF files cannot be made here.
    """
    sheet = sheet_in_order(payload, order, hash_=hash_)
    page = render_to_string(
        "maintenance/test_report_pdf.html", {"sheets": [sheet], "decides": DECIDES}
    )
    return report_pdf(page, f"{_style()}\n@page {{ size: {paper}; }}")


def report_pdf(html: str, css: str) -> bytes:
    """Return a PDF of a page.

    Raises
    ------
    PdfMissingError
        If the library, or what it needs of the system, is not there.
    """
    weasyprint, fetcher = _library()

    class NothingFetched(fetcher):  # type: ignore[misc, valid-type]
        """Refuses every address, those of this machine's files too."""

        def fetch(self, url: str, headers: Any = None) -> Any:
            raise ValueError(f"{url[:40]} is not fetched")

    nothing = NothingFetched()
    style = weasyprint.CSS(string=css, url_fetcher=nothing)
    page = weasyprint.HTML(string=html, url_fetcher=nothing)
    pdf: bytes = page.write_pdf(stylesheets=[style])
    return pdf


def _library() -> tuple[Any, Any]:
    try:
        # An extra: slow to load, and it may be absent.
        import weasyprint  # noqa: PLC0415
        from weasyprint.urls import URLFetcher  # noqa: PLC0415
    except (ImportError, OSError) as absent:
        raise PdfMissingError(
            "PDF files cannot be made here, since the extra `pdf` is not installed: "
            "install it, or open the report and print it to a file from the browser."
        ) from absent
    return weasyprint, URLFetcher


@cache
def _style() -> str:
    found = finders.find(_STYLE)
    if not isinstance(found, str):  # it comes with the program
        raise FileNotFoundError(_STYLE)
    return Path(found).read_text(encoding="utf-8")

"""A report as a PDF file: made here, from text alone; no address is ever asked."""

from typing import Any

from maintenance.engine.errors import EngineError


class PdfMissingError(EngineError):
    """What makes PDF files is not installed."""


def report_pdf(html: str, css: str) -> bytes:
    """Return a PDF of a page.

    Raises
    ------
    PdfMissingError
        If the library, or what it needs of the system, is not there.
    """
    try:
        # An extra: slow to load, and it may be absent.
        import weasyprint  # noqa: PLC0415
        from weasyprint.urls import URLFetcher  # noqa: PLC0415
    except (ImportError, OSError) as absent:
        raise PdfMissingError(
            "PDF files cannot be made here, since the extra `pdf` is not installed: "
            "open the report and print it to a file from the browser."
        ) from absent

    class NothingFetched(URLFetcher):  # type: ignore[misc]
        """Refuses every address, those of this machine's files too."""

        def fetch(self, url: str, headers: Any = None) -> Any:
            raise ValueError(f"{url[:40]} is not fetched")

    nothing = NothingFetched()
    style = weasyprint.CSS(string=css, url_fetcher=nothing)
    page = weasyprint.HTML(string=html, url_fetcher=nothing)
    pdf: bytes = page.write_pdf(stylesheets=[style])
    return pdf

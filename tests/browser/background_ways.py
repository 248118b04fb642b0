"""Ways to the pages of what runs in the background, for the test of every page."""

from collections.abc import Callable

from playwright.sync_api import Page, expect

from maintenance.services.accounts import local_account
from tests.services.backflow.field_tests import SITE, keep_site, keep_tests
from tests.services.jobs.report_packs import make_pack


def _health(page: Page, office: str) -> None:
    page.goto(f"{office}/health/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Health")


def _jobs(page: Page, office: str) -> None:
    page.goto(f"{office}/jobs/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Long jobs")


def _a_job(page: Page, office: str) -> None:
    """Ask for outlooks: without a worker the job waits, and the page looks again."""
    _jobs(page, office)
    page.get_by_role("button", name="Work all outlooks out again").click()
    expect(page.get_by_role("table")).to_contain_text("waits for its turn")


def _a_pack(page: Page, office: str) -> None:
    """Have a report made, and take the file along."""
    keep_site(local_account())
    keep_tests(local_account(), SITE, "B3", "Oak")
    make_pack(local_account())
    _jobs(page, office)
    link = page.get_by_role("link", name="ZIP file: Test reports")
    with page.expect_download() as saved:
        link.click()
    assert saved.value.suggested_filename.endswith(".zip")
    assert saved.value.failure() is None


BACKGROUND_WAYS: dict[str, Callable[[Page, str], object]] = {
    "health": _health,
    "long jobs": _jobs,
    "a long job": _a_job,
    "a pack of reports": _a_pack,
}

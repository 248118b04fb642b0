"""Ways to the pages of what runs in the background, for the test of every page."""

from collections.abc import Callable

from playwright.sync_api import Page, expect


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


BACKGROUND_WAYS: dict[str, Callable[[Page, str], object]] = {
    "health": _health,
    "long jobs": _jobs,
    "a long job": _a_job,
}

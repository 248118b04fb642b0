"""What axe finds in a page as it stands in the browser."""

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

AXE = Axe().axe_script
# Of a rule that is kept axe need only say that it looked: listing each part of the page
# that keeps it took a quarter of the time. All that breaks a rule is told in full.
OPTIONS = {
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"],
    },
    "resultTypes": ["violations"],
}


def barriers(page: Page) -> list[str]:
    """Return what breaks a rule, with the first parts of the page that do."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE)
    answer = page.evaluate(
        "options => axe.run(options).then("
        "found => ({kept: found.passes.length, broken: found.violations}))",
        OPTIONS,
    )
    assert answer["kept"], "axe looked at nothing"
    return [
        f"{each['id']}: {node['html'][:200]}"
        for each in answer["broken"]
        for node in each["nodes"][:3]
    ]

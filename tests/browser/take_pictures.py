"""Take the pictures of the README from the demonstration.

``python -m tests.browser.take_pictures [folder]``; the folder is
``fixtures/pictures`` if none is given.
"""

import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from tests.conftest import browser_path

REPOSITORY = Path(__file__).resolve().parents[2]
PICTURES = REPOSITORY / "fixtures" / "pictures"
WIDTH = 1280
PAPER_WIDTH = 800
MARGIN = 32
SHEET_HEIGHT = 760
LAST_WHOLE_ROW = """most => Math.max(
  ...[...document.querySelectorAll('main tr')]
    .map(row => row.getBoundingClientRect().bottom - 1)
    .filter(bottom => bottom <= most))"""
LARGEST_BYTES = 300_000
PATIENCE_S = 60


@contextmanager
def served_demonstration() -> Iterator[str]:
    """Serve the demonstration from a data folder of its own; give its address."""
    with tempfile.TemporaryDirectory(prefix="irrigation-pictures-") as folder:
        server = subprocess.Popen(
            [sys.executable, "-u", "manage.py", "demo", "--port", "0"],
            cwd=REPOSITORY,
            env={
                **os.environ,
                "IRRIGATION_DATA": folder,
                "DJANGO_SETTINGS_MODULE": "irrigation_site.settings.base",
            },
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        try:
            yield _address_told_by(server)
        finally:
            server.terminate()
            server.communicate(timeout=PATIENCE_S)


def _address_told_by(server: "subprocess.Popen[str]") -> str:
    assert server.stdout
    told: list[str] = []
    for line in server.stdout:
        told.append(line)
        if found := re.search(r"Open (http://127\.0\.0\.1:\d+)/", line):
            return found[1]
    raise SystemExit("The demonstration did not start:\n" + "".join(told))


def _picture_of_sheet(browser: Browser, office: str) -> bytes:
    """Show the sheet as it is printed: that is what goes out to the machine."""
    page = browser.new_page(
        viewport={"width": PAPER_WIDTH, "height": 900},
        device_scale_factor=WIDTH / PAPER_WIDTH,
    )
    page.emulate_media(media="print")
    page.goto(f"{office}/sites/larkmoor/blow-out/?compressor=yard-25")
    page.locator("main table").first.wait_for()
    page.evaluate(f"document.body.style.padding = '{MARGIN}px'")
    picture, most = b"", SHEET_HEIGHT
    while not picture or len(picture) > LARGEST_BYTES:
        height = page.evaluate(LAST_WHOLE_ROW, most)
        picture = page.screenshot(
            full_page=True,
            clip={"x": 0, "y": 0, "width": PAPER_WIDTH, "height": height},
        )
        most = height - 1
    return picture


def _picture_of_plan(browser: Browser, office: str) -> bytes:
    page = browser.new_page(viewport={"width": WIDTH, "height": 900})
    page.emulate_media(color_scheme="light")
    page.goto(f"{office}/sites/larkmoor/")
    box = page.locator("main figure.drawing").first.bounding_box()
    assert box
    return page.screenshot(
        full_page=True,
        clip={"x": 0, "y": box["y"], "width": WIDTH, "height": box["height"]},
    )


WAYS = {"sheet": _picture_of_sheet, "plan": _picture_of_plan}


def take_pictures(folder: Path) -> None:
    """Write ``sheet.png`` and ``plan.png``; refuse a plan that is too large."""
    folder.mkdir(parents=True, exist_ok=True)
    with served_demonstration() as office, sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path=browser_path(), args=["--no-sandbox", "--disable-gpu"]
        )
        for name, take in WAYS.items():
            picture = take(browser, office)
            if len(picture) > LARGEST_BYTES:
                raise SystemExit(
                    f"{name}.png would have {len(picture)} bytes; at most "
                    f"{LARGEST_BYTES}: show less of the page."
                )
            (folder / f"{name}.png").write_bytes(picture)
            print(f"{folder / name}.png: {len(picture)} bytes")
        browser.close()


if __name__ == "__main__":
    take_pictures(Path(sys.argv[1]) if len(sys.argv) > 1 else PICTURES)

"""The project's own source files, for tests that read them."""

from collections.abc import Iterator
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parent.parent.parent
PACKAGES = ("irrigation_site", "maintenance", "tests")


def modules(*folders: str) -> Iterator[Path]:
    """Yield each module below some folders, as a path from the repository's root."""
    for folder in folders:
        for path in sorted((REPOSITORY / folder).rglob("*.py")):
            relative = path.relative_to(REPOSITORY)
            if "migrations" not in relative.parts:
                yield relative

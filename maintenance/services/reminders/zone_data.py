"""Which edition of the time zones instants were worked out with."""

from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from zoneinfo import TZPATH


@cache
def zone_data_version() -> str:
    """Return the edition, such as 2026b: that of the machine before the package's."""
    for folder in map(Path, TZPATH):
        for name in ("tzdata.zi", "+VERSION"):
            path = folder / name
            if path.is_file():
                with path.open(encoding="utf-8") as lines:
                    return lines.readline().removeprefix("# version").strip()[:20]
    try:
        return version("tzdata")[:20]
    except PackageNotFoundError:
        return "unknown"

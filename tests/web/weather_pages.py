"""Files and addresses for the tests of the weather's pages."""

from io import BytesIO
from pathlib import Path
from typing import Any

from django.test import Client

from tests.exchange.weather.weather_files import plain_csv, some_days

CLIMATE = Path(__file__).resolve().parents[2] / "fixtures" / "climate"
KEY = "example-lateral"
PAGE = f"/sites/{KEY}/weather/"
YEARS = plain_csv(some_days(4 * 366))


def a_file(content: str | bytes, name: str = "north.csv") -> BytesIO:
    raw = content.encode() if isinstance(content, str) else content
    file = BytesIO(raw)
    file.name = name
    return file


def give(
    office: Client,
    content: str | bytes = YEARS,
    *,
    name: str = "north.csv",
    **typed: str,
) -> Any:
    """Give a station's file at the page of the site."""
    asked = {"station_id": "north"} | typed
    return office.post(f"{PAGE}file/", {"record_file": a_file(content, name), **asked})

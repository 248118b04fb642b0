"""The records of fixtures/climate, read once."""

from functools import cache
from pathlib import Path

from maintenance.engine.climate.series import Record
from maintenance.exchange.weather.record_file import read_record

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "climate"


@cache
def record(name: str) -> Record:
    return read_record((FOLDER / f"{name}.csv").read_bytes())


def degf(value: float) -> float:
    """Return °F as K."""
    return (value + 459.67) / 1.8

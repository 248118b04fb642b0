"""Options that the commands on climate records share, and how they are read."""

import re
from argparse import ArgumentParser
from pathlib import Path
from typing import Final

from maintenance.engine.climate.degrees import degf_of
from maintenance.engine.climate.seasons import Years
from maintenance.engine.climate.series import Record
from maintenance.engine.errors import InputError
from maintenance.engine.units import parse_quantity
from maintenance.exchange.weather.record_file import UNITS, read_record

COLDEST_DEGF: Final = -60.0
WARMEST_DEGF: Final = 60.0
"""A threshold outside these says nothing of freezing."""

_YEARS: Final = re.compile(r"(\d{4})-(\d{4})", re.ASCII)


def add_record_options(parser: ArgumentParser, *, threshold: str) -> None:
    """Declare the series, its unit and the threshold."""
    parser.add_argument(
        "series",
        metavar="SERIES",
        help="daily minima: CSV with date and tmin_f or tmin_c, a GHCN-Daily .dly file, "
        "or a daily-summaries CSV",
    )
    parser.add_argument(
        "--unit",
        choices=UNITS,
        help="unit of the temperatures, where the file does not name it",
    )
    parser.add_argument(
        "--threshold",
        default=threshold,
        metavar="TEMPERATURE",
        help=f'a day at or below it counts; "{threshold}" if not given',
    )
    parser.add_argument(
        "--exact",
        action="store_true",
        help="compare temperatures as recorded, not in whole degF",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def record_named(name: str, unit: str | None) -> Record:
    """Read the record that a command is given."""
    return read_record(Path(name).read_bytes(), unit)


def threshold_of(text: str) -> float:
    """Read a threshold; one that has nothing to do with freezing is refused."""
    threshold_k = parse_quantity(text, "temperature")
    if not COLDEST_DEGF <= float(degf_of(threshold_k)) <= WARMEST_DEGF:
        raise InputError(
            f'--threshold "{text}" is no freeze; write one from {COLDEST_DEGF:.0f} to '
            f'{WARMEST_DEGF:.0f} degF, such as "28 degF"',
            input="threshold",
        )
    return threshold_k


def years_of(text: str | None) -> Years | None:
    """Read a span of seasons such as 1991-2020."""
    if text is None:
        return None
    match = _YEARS.fullmatch(text)
    if match is None:
        raise InputError(
            f'--years "{text}" is no span of seasons; write one like 1991-2020',
            input="years",
        )
    return int(match[1]), int(match[2])

"""How the record of a station stands in its row."""

from datetime import date
from typing import Any

import numpy as np

from maintenance.engine.climate.degrees import Array
from maintenance.engine.climate.series import (
    DailySeries,
    Record,
    Rejected,
    Station,
    frozen,
)
from maintenance.models import WeatherStation


def record_columns(record: Record) -> dict[str, Any]:
    """Return the columns that a record fills."""
    series = record.series
    return {
        "first_day": series.first,
        "last_day": series.last,
        "record": {
            "tmin_k": numbers_or_null(series.tmin_k),
            "tmax_k": numbers_or_null(series.tmax_k),
            "format": record.format,
            "unit": record.unit,
            "unit_from": record.unit_from,
            "repeated": record.repeated,
            "rejected": [
                [each.day.isoformat(), each.of, each.value_k, each.why, each.line]
                for each in record.rejected
            ],
        },
    }


def record_of(row: WeatherStation) -> Record:
    """Return the record of a station as it was read, at the place that its row tells."""
    kept = row.record
    series = DailySeries(
        row.first_day,
        frozen(np.array(kept["tmin_k"], dtype=np.float64)),
        frozen(np.array(kept["tmax_k"], dtype=np.float64)),
        station_of(row),
    )
    return Record(
        series=series,
        format=kept["format"],
        unit=kept["unit"],
        unit_from=kept["unit_from"],
        rejected=tuple(
            Rejected(date.fromisoformat(day), of, value_k, why, line)
            for day, of, value_k, why, line in kept["rejected"]
        ),
        repeated=kept["repeated"],
    )


def station_of(row: WeatherStation) -> Station:
    """Return where a station stands."""
    return Station(row.key, row.name, row.latitude, row.longitude, row.elevation_m)


def numbers_or_null(values: Array) -> list[float | None]:
    """Return numbers as JSON has them: an unknown one is null."""
    return [value if value == value else None for value in values.tolist()]

"""How a forecast stands in its row."""

from typing import Any

import numpy as np

from maintenance.engine.climate.degrees import Array
from maintenance.engine.climate.forecast import Forecast
from maintenance.engine.climate.series import frozen
from maintenance.models import KeptForecast
from maintenance.services.weather.station_rows import numbers_or_null


def forecast_columns(forecast: Forecast) -> dict[str, Any]:
    """Return the columns that a forecast fills."""
    return {
        "source": forecast.source,
        "issued_at": forecast.issued_at,
        "begin": forecast.begin,
        "hours": {
            "air_k": numbers_or_null(forecast.temperature_k),
            "wind_m_per_s": numbers_or_null(forecast.wind_m_per_s),
            "sky_cover": numbers_or_null(forecast.sky_cover),
            "rejected": list(forecast.rejected),
        },
    }


def forecast_of(row: KeptForecast) -> Forecast:
    """Return a forecast as it was received."""

    def values(name: str) -> Array:
        return frozen(np.array(row.hours[name], dtype=np.float64))

    return Forecast(
        begin=row.begin,
        temperature_k=values("air_k"),
        wind_m_per_s=values("wind_m_per_s"),
        sky_cover=values("sky_cover"),
        issued_at=row.issued_at,
        source=row.source,
        rejected=tuple(row.hours["rejected"]),
    )

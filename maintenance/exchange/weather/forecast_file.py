"""A forecast file: recognised by its content, read whole or refused."""

from maintenance.engine.climate.forecast import Forecast
from maintenance.exchange.weather.forecast_csv import read_forecast_csv
from maintenance.exchange.weather.forecast_json import read_forecast_json
from maintenance.exchange.weather.plain_text import plain_text, refused


def read_forecast(content: str | bytes) -> Forecast:
    """Read a forecast file.

    Parameters
    ----------
    content : str or bytes
        Hourly or raw-grid JSON of the public weather service, or CSV. [-]

    Returns
    -------
    Forecast
        Hour by hour; values that cannot be are unknown, and told. [SI]

    Raises
    ------
    Faults
        With everything that is wrong, each with its line or path; nothing is read in
        part.
    """
    if not content.strip():
        raise refused("is empty; give a forecast")
    text = plain_text(content)
    if text.lstrip().startswith(("{", "[")):
        return read_forecast_json(text)
    return read_forecast_csv(text)

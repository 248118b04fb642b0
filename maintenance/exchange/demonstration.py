"""The files of the demonstration, as they lie beside the program."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from maintenance.engine.climate.forecast import Forecast
from maintenance.engine.climate.series import Record, Station
from maintenance.engine.errors import EngineError
from maintenance.engine.site import Compressor, Site
from maintenance.exchange.compressor_file import read_compressor
from maintenance.exchange.site_file import read_site
from maintenance.exchange.weather.forecast_file import read_forecast
from maintenance.exchange.weather.record_file import read_record

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
FOLDER = FIXTURES / "demo"
CLIMATE = FIXTURES / "climate"
STATION: Final = Station(
    "demo-champion",
    "Champion, Nebraska (a real record that stands in for an invented place)",
)
"""Its file tells neither position nor elevation, so none is made up."""


@dataclass(frozen=True, slots=True)
class Demonstration:
    """Everything that the demonstration brings."""

    sites: tuple[Site, ...]
    compressors: tuple[Compressor, ...]


@dataclass(frozen=True, slots=True)
class DemonstrationWeather:
    """The station of the demonstration's main site, and a forecast to be dated anew."""

    record: Record
    forecast: Forecast


def read_demonstration(folder: Path = FOLDER) -> Demonstration:
    """Read the demonstration.

    Parameters
    ----------
    folder : Path, optional
        Where its files lie. [-]

    Returns
    -------
    Demonstration
        Its sites and compressors. [-]

    Raises
    ------
    EngineError
        If the files are not there.
    Faults
        If one cannot be read.
    """
    sites = [*folder.glob("*.json"), *folder.glob("contractor/*.json")]
    compressors = sorted(folder.glob("compressors/*.json"))
    if not sites or not compressors:
        raise _not_there(folder)
    return Demonstration(
        tuple(read_site(path.read_bytes()) for path in sorted(sites)),
        tuple(read_compressor(path.read_bytes()) for path in compressors),
    )


def read_demonstration_weather(folder: Path = CLIMATE) -> DemonstrationWeather:
    """Read the weather of the demonstration.

    Parameters
    ----------
    folder : Path, optional
        Where its files lie. [-]

    Returns
    -------
    DemonstrationWeather
        A record under the station's name, and a forecast as its file dates it. [SI]

    Raises
    ------
    EngineError
        If the files are not there.
    Faults
        If one cannot be read.
    """
    record_file = folder / "champion.csv"
    forecast_file = folder / "larkmoor_forecast.csv"
    if not (record_file.is_file() and forecast_file.is_file()):
        raise _not_there(folder)
    record = read_record(record_file.read_bytes())
    named = replace(record, series=replace(record.series, station=STATION))
    return DemonstrationWeather(named, read_forecast(forecast_file.read_bytes()))


def _not_there(folder: Path) -> EngineError:
    return EngineError(
        f"The files of the demonstration are not at {folder}: run the program "
        "from a whole copy of its repository."
    )

"""The files of the demonstration, as they lie beside the program."""

from dataclasses import dataclass
from pathlib import Path

from maintenance.engine.errors import EngineError
from maintenance.engine.site import Compressor, Site
from maintenance.exchange.compressor_file import read_compressor
from maintenance.exchange.site_file import read_site

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "demo"


@dataclass(frozen=True, slots=True)
class Demonstration:
    """Everything that the demonstration brings."""

    sites: tuple[Site, ...]
    compressors: tuple[Compressor, ...]


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
        raise EngineError(
            f"The files of the demonstration are not at {folder}: run the program "
            "from a whole copy of its repository."
        )
    return Demonstration(
        tuple(read_site(path.read_bytes()) for path in sorted(sites)),
        tuple(read_compressor(path.read_bytes()) for path in compressors),
    )

"""A compressor typed in by a person, from its plate or from its class alone."""

from dataclasses import dataclass
from typing import Final

from maintenance.engine.errors import InputError
from maintenance.engine.site.answers import GUESSED, Answers, Reading, guessed
from maintenance.engine.site.compressor import Compressor
from maintenance.engine.site.faults import Faults
from maintenance.engine.units import parse_number, parse_quantity

# Common practice, no source: a small piston machine delivers 60 to 75 % of the
# volume that its pistons sweep; the lower end.
DELIVERED_OF_DISPLACEMENT: Final = 0.6
# Bore and length that stand for a hose nobody measured.
USUAL_HOSE: Final = ("19.1 mm", "15 m")


@dataclass(frozen=True, slots=True)
class CompressorClass:
    """What machines of a class usually are; no source, round numbers of ours."""

    name: str
    free_air: str
    receiver: str
    cut_in: str
    cut_out: str


CLASSES: Final = {
    "carried": CompressorClass(
        "carried by hand, plugs in", "2 cfm", "6 gal", "110 psi", "140 psi"
    ),
    "wheeled": CompressorClass(
        "on wheels, plugs in", "4 cfm", "20 gal", "100 psi", "130 psi"
    ),
    "barrow": CompressorClass(
        "wheelbarrow with an engine", "8 cfm", "8 gal", "100 psi", "130 psi"
    ),
    "shop": CompressorClass(
        "standing in a workshop, two stages", "15 cfm", "60 gal", "130 psi", "165 psi"
    ),
    "towed": CompressorClass(
        "towed behind a car", "150 cfm", "0 gal", "90 psi", "100 psi"
    ),
}


def compressor_from_answers(answers: Answers, *, compressor_id: str) -> Compressor:
    """Build a compressor.

    Parameters
    ----------
    answers : mapping of str to str
        ``class`` (a key of `CLASSES`), ``free_air``, ``plate_says`` (``delivered``
        or ``displacement``), ``receiver cut_in cut_out``, ``regulator`` (``yes`` or
        ``no``), ``gauge_at step``, ``relief_valve``, ``hose_diameter hose_length``,
        ``discharge_temperature label``; an empty answer or ``unknown`` is "I don't
        know". [-]
    compressor_id : str
        Id of the compressor. [-]

    Returns
    -------
    Compressor
        What the plate does not say is the usual of its class, marked guessed;
        without a class the least. [-]

    Raises
    ------
    Faults
        All answers that cannot be read; each path is the answer's name.
    """
    reading = Reading(answers)
    usual = CLASSES.get(reading.text("class"))
    fixed: dict[str, object] = {"id": compressor_id}
    asked = {
        key: key
        for key in (
            "free_air_delivery",
            "receiver",
            "cut_in",
            "cut_out",
            "relief_valve",
            "discharge_temperature",
            "label",
        )
    } | {"free_air_delivery": "free_air"}
    guesses: dict[str, object] = {
        "free_air_delivery": guessed(usual.free_air if usual else GUESSED["free_air"]),
        "receiver": guessed(usual.receiver if usual else GUESSED["receiver"]),
    }
    if usual:
        guesses |= {"cut_in": guessed(usual.cut_in), "cut_out": guessed(usual.cut_out)}
    if reading.text("free_air") and reading.text("plate_says") != "delivered":
        fixed |= _delivered(reading)
        del asked["free_air_delivery"]
    fitted = reading.text("regulator")
    if fitted:
        fixed["regulator"] = {"fitted": fitted == "yes"}
    if fitted == "yes":
        asked |= {"regulator.gauge_at": "gauge_at", "regulator.step": "step"}
    if reading.text("hose_diameter") or reading.text("hose_length"):
        asked |= {
            "hose.inside_diameter": "hose_diameter",
            "hose.length": "hose_length",
        }
        guesses |= {
            "hose.inside_diameter": guessed(USUAL_HOSE[0]),
            "hose.length": guessed(USUAL_HOSE[1]),
        }
    compressor = reading.part(Compressor, fixed, asked, guesses)
    if reading.faults or compressor is None:
        raise Faults(reading.faults)
    return compressor


def _delivered(reading: Reading) -> dict[str, object]:
    """Turn a swept volume, or a number of unknown meaning, into delivered air."""
    text = reading.text("free_air")
    try:
        parse_quantity(text, "air_flow")
        number, unit = parse_number(text)
    except InputError as refusal:
        reading.refuse("free_air", refusal.text)
        return {}
    return {
        "free_air_delivery": guessed(f"{number * DELIVERED_OF_DISPLACEMENT:.4g} {unit}")
    }

"""What stands around a part: how far wind, sky and outside air reach it."""

import re
from dataclasses import dataclass, replace
from typing import Final

from maintenance.engine.freezing.outlook import BOX_AIR_SHARE, SKY_SHARE
from maintenance.engine.freezing.thermal import Insulation, insulation_of_r_value

SI_PER_R: Final = 0.17611018368
"""1 h ft2 degF/Btu [m2 K/W]; exact to the digits given."""

_R_VALUE: Final = re.compile(r"\bR\s*-?\s*(\d+(?:\.\d+)?)\b")
_NOTHING: Final = ("", "none", "no", "bare")
_COVERS: Final = ("pouch", "bag", "cover", "insulat", "foam", "wrap", "blanket")
_HOUSES: Final = ("box", "enclosure", "cabinet", "hut", "shed", "house", "housing")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shelter:
    """Shares of wind, sky and outside air that reach a part [-], and its cover.

    ``assumed`` says what was taken, ``unknown`` what nobody recorded.
    """

    wind_share: float = 1.0
    sky_share: float = SKY_SHARE
    air_share: float = 1.0
    insulation: Insulation | None = None
    assumed: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


IN_THE_OPEN: Final = Shelter()
IN_A_BOX: Final = Shelter(
    wind_share=0.0,
    sky_share=0.0,
    air_share=BOX_AIR_SHARE,
    assumed=(
        (
            "The air in the box follows the mean air of the day by about a third, the "
            "soil at 8 in by the rest."
        ),
    ),
)


def shelter_of(enclosure: str | None) -> Shelter:
    """Read what is recorded about the enclosure of a part above ground.

    Parameters
    ----------
    enclosure : str or None
        As recorded: ``none``, ``pouch R-5``, ``hut, heated`` or the like [text].

    Returns
    -------
    Shelter
        What is not understood, or not recorded, shelters nothing [-].

    Examples
    --------
    >>> round(shelter_of("pouch R-5").insulation.thickness_m, 4)
    0.0352
    >>> shelter_of(None).unknown
    ('enclosure',)
    """
    if enclosure is None:
        return Shelter(
            assumed=("Taken as standing bare.",),
            unknown=("enclosure",),
        )
    words = enclosure.strip().casefold()
    if words in _NOTHING:
        return IN_THE_OPEN
    found = _R_VALUE.search(enclosure)
    if found:
        return _covered(float(found[1]))
    if any(word in words for word in _COVERS):
        return Shelter(
            wind_share=0.0,
            sky_share=0.0,
            assumed=("The cover is taken to keep off wind and sky, not the cold.",),
            unknown=("R-value of the enclosure",),
        )
    if any(word in words for word in _HOUSES):
        return _housed(heated="heat" in words and "unheated" not in words)
    return Shelter(
        assumed=(f'"{enclosure}" is taken to shelter nothing.',),
        unknown=("enclosure",),
    )


def _covered(r_value: float) -> Shelter:
    layer = insulation_of_r_value(r_value * SI_PER_R)
    return replace(
        IN_THE_OPEN,
        insulation=layer,
        assumed=(f"R-{r_value:g}, dry and closed all round.",),
    )


def _housed(*, heated: bool) -> Shelter:
    told = ["It keeps off wind and sky; the air in it is taken as cold as outside."]
    if heated:
        told.append("The heat is taken as off: it fails when the power fails.")
    return Shelter(wind_share=0.0, sky_share=0.0, assumed=tuple(told))

"""Where water stays, as the contract's JSON object."""

import math

from maintenance.engine.network.drain_site import DrainedSite


def drained_as_json(drained: DrainedSite) -> dict[str, object]:
    """Return the object of ``drain --json``, format ``drain/1``.

    Parameters
    ----------
    drained : DrainedSite
        Where water stays. [SI]

    Returns
    -------
    dict
        SI numbers, unrounded, the unit in the key. [-]
    """
    drainage = drained.drainage
    return {
        "format": "drain/1",
        "links": [
            {
                "link": each.link,
                "state": each.state,
                "wet_length_m": each.wet_length_m,
                "wet_volume_m3": each.wet_volume_m3,
                "air_locked_length_m": each.air_locked_length_m,
            }
            for each in drainage.links
        ],
        "points": [
            {"point": point, "spill_level_m": level if math.isfinite(level) else None}
            for point, level in drainage.level_m.items()
        ],
        "trapped_m3": drainage.trapped_m3,
        "trapped_by_zone": dict(drainage.trapped_by_zone),
        "best_next_drains": [
            {"at": each.at, "empties_m3": each.empties_m3}
            for each in drained.next_drains
        ],
        "figures": {key: each.as_json() for key, each in drained.figures.items()},
        "warnings": [each.as_json() for each in drained.warnings],
    }

"""Where water is left, as the contract's JSON object."""

import math

from maintenance.engine.procedure.water_left import WaterLeft


def water_left_as_json(left: WaterLeft) -> dict[str, object]:
    """Return the member ``water_left`` of ``procedure --json``.

    Parameters
    ----------
    left : WaterLeft
        The map. [SI]

    Returns
    -------
    dict
        The object of ``drain --json`` without ``format``; a link's ``state`` may also
        be ``blown``, and each link has ``below_frost_depth``, ``placement``, the source
        ``told_by`` (``levels`` or ``sheet``) and the sentence ``why`` besides. [-]
    """
    return {
        "links": [
            {
                "link": each.link,
                "state": each.state,
                "wet_length_m": each.wet_length_m,
                "wet_volume_m3": each.wet_volume_m3,
                "air_locked_length_m": each.air_locked_length_m,
                "below_frost_depth": each.below_frost_depth,
                "placement": each.placement,
                "told_by": each.told_by,
                "why": each.why,
            }
            for each in left.links
        ],
        "points": [
            {"point": point, "spill_level_m": level if math.isfinite(level) else None}
            for point, level in left.drainage.level_m.items()
        ],
        "trapped_m3": left.trapped_m3,
        "trapped_by_zone": dict(left.trapped_by_zone),
        "best_next_drains": [
            {"at": each.at, "empties_m3": each.empties_m3} for each in left.next_drains
        ],
        "figures": {key: each.as_json() for key, each in left.figures.items()},
        "warnings": [each.as_json() for each in left.warnings],
    }

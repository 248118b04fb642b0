"""A site known only from one card: the layout that is assumed for it."""

import math
from dataclasses import replace
from typing import Final, Literal, cast

from maintenance.engine.site.links import Backflow, InlineDevice, Link, Pipe
from maintenance.engine.site.points import BlowoutPort, Junction, Point, Supply
from maintenance.engine.site.quantities import ASSUMED
from maintenance.engine.site.quick import expand_quick_zones, scaled
from maintenance.engine.site.requirements import UNKNOWN_SIZE
from maintenance.engine.site.whole import Card, QuickZone, Site, Zone
from maintenance.engine.units import Quantity, parse_quantity

ASSUMPTIONS: Final = (
    (
        "The water comes from a public main through the assembly to the blow-out port, "
        "and from there into the main."
    ),
    (
        "An assembly that is not recorded, or not of a kind that the tool knows, is taken "
        "as a PVB."
    ),
    "A port that is not recorded is taken as there, right behind the assembly.",
    "A main of unknown length is taken as 100 ft long.",
    "The main and all zones are of the pipe and size on the card, buried.",
    "The zones leave the main evenly spaced, the last at its end.",
    (
        "Every zone takes as much water as the largest; a flow that is not recorded is "
        "taken as 15 gpm."
    ),
    "Every zone is a straight run of spray heads, 1.5 gpm each at 30 psi, 15 ft apart.",
    "The ground is taken as level; a rise needs more air.",
)
NO_PORT: Final = ("none", "no")
DEVICES: Final = ("RP", "DC", "PVB", "SVB", "AVB", "AG")
CARD_HEADS_LIMIT: Final = 500
_HEAD_FLOW: Final = "1.5 gpm"
_Device = Literal["RP", "DC", "PVB", "SVB", "AVB", "AG"]


def heads_of_card(card: Card) -> int:
    """Count the heads that each zone of a card is taken to have.

    Parameters
    ----------
    card : Card
        The card. [-]

    Returns
    -------
    int
        Heads of one zone, at least 1. [-]

    Examples
    --------
    >>> heads_of_card(Card(zones=3, pipe="unknown", size="1"))
    10
    """
    flow = card.largest_zone or _assumed("15 gpm", "flow")
    one = parse_quantity(_HEAD_FLOW, "flow")
    # A flow that is a whole number of heads stays one whatever its last bit.
    return max(1, math.ceil(flow.value / one - 1e-9))


def site_from_card(site: Site) -> Site:
    """Put an assumed layout in place of a site's card.

    Parameters
    ----------
    site : Site
        A site that has passed its checks. [-]

    Returns
    -------
    Site
        A site of quick zones by `ASSUMPTIONS`, every quantity ``assumed``; the site
        itself where it has no card. [-]
    """
    card = site.card
    if card is None:
        return site
    main = card.main or _assumed("100 ft", "length")
    main = replace(main, origin=ASSUMED)
    level = _assumed("0 ft", "height")
    step = scaled(main, 1 / card.zones)
    points: list[Point] = [
        Supply(id="card.supply", source="public", elevation=level),
        _port(card, level),
    ]
    links: list[Link] = [_device(card)]
    zones: list[Zone] = []
    before = "card.port"
    for number in range(1, card.zones + 1):
        tee = f"card.m{number}"
        points.append(Junction(id=tee, elevation=level))
        links.append(
            Pipe(
                id=f"card.main{number}",
                from_=before,
                to=tee,
                pipe=card.pipe,
                size=None if card.size == UNKNOWN_SIZE else card.size,
                length=step,
                placement="buried",
            )
        )
        zones.append(Zone(id=str(number), quick=_quick(card, tee)))
        before = tee
    return replace(
        site,
        card=None,
        points=tuple(points),
        links=tuple(links),
        zones=tuple(zones),
    )


def lay_out(site: Site) -> Site:
    """Lay out whatever of a site is not recorded: its card or its quick zones.

    Parameters
    ----------
    site : Site
        A site that has passed its checks. [-]

    Returns
    -------
    Site
        A site of points, links and zones only. [-]
    """
    return expand_quick_zones(site_from_card(site))


def _assumed(text: str, dimension: str) -> Quantity:
    return Quantity(parse_quantity(text, dimension), text, ASSUMED)


def _port(card: Card, level: Quantity) -> BlowoutPort | Junction:
    if (card.port or "").strip().lower() in NO_PORT:
        return Junction(id="card.port", elevation=level)
    return BlowoutPort(id="card.port", elevation=level, fitting=card.port)


def _device(card: Card) -> Backflow | InlineDevice:
    name = (card.device or "").strip()
    if name.lower() in NO_PORT:
        return InlineDevice(
            id="card.device", kind="fitting", from_="card.supply", to="card.port"
        )
    return Backflow(
        id="card.device",
        from_="card.supply",
        to="card.port",
        device=cast("_Device", name if name in DEVICES else "PVB"),
        note=None if name in DEVICES else "Kind assumed: look at the plate.",
    )


def _quick(card: Card, tee: str) -> QuickZone:
    heads = heads_of_card(card)
    return QuickZone(
        pipe=card.pipe,
        size=card.size,
        length=_assumed(f"{15 * heads} ft", "length"),
        heads=heads,
        head="spray",
        flow=_assumed(_HEAD_FLOW, "flow"),
        at_pressure=_assumed("30 psi", "pressure"),
        from_=tee,
    )

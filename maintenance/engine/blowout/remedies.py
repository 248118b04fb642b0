"""What would help a zone that does not clear, cheapest first, and the frontier.

Each remedy is tried for real: the site or the compressor is changed, and the zone is
computed again behind its main.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from maintenance.engine.blowout.compute import blow
from maintenance.engine.blowout.prepare import prepare
from maintenance.engine.blowout.rows import build_rows
from maintenance.engine.blowout.sheet import RowSheet
from maintenance.engine.network.graph import build_graph
from maintenance.engine.site import (
    Compressor,
    Drain,
    Head,
    InlineDevice,
    Junction,
    Point,
    Site,
)
from maintenance.engine.site.card import lay_out
from maintenance.engine.units import Quantity, display, parse_quantity

RANKS = ("cannot", "not_enough", "enough_with_rests", "enough", "too_much")
BIGGER_HOSE = "1 in"
BIGGER_RECEIVER = "60 gal"
FRONTIER_RECEIVERS = ("0 gal", "20 gal", "60 gal", "120 gal")
MORE_PASSES = 6
OPEN_END = "10 gpm/psi^0.5"
"""Coefficient of an end pipe without its head, about 3/4 in; estimate, from memory."""
WORTH_WHILE = 0.9
"""A remedy that changes no verdict counts if it leaves at most this share."""


@dataclass(frozen=True, slots=True)
class Remedy:
    """One remedy tried: what, on what, to which value, and what comes of it."""

    act: str
    on: str
    value: str
    verdict: str
    left_fraction_after: float | None
    text: str


@dataclass(frozen=True, slots=True)
class Frontier:
    """Least free air that is enough with a receiver; None where none is. [SI]"""

    receiver_m3: float
    free_air_m3_per_s: float | None


@dataclass(frozen=True, slots=True)
class _Trial:
    act: str
    on: str
    value: str
    text: str
    site: Site
    compressor: Compressor
    setting_pa: float | None = None
    passes: int | None = None


def find_remedies(
    site: Site,
    compressor: Compressor,
    *,
    zone: str,
    air_temperature_k: float | None = None,
) -> tuple[tuple[Remedy, ...], tuple[Frontier, ...]]:
    """Try what could help one zone.

    Parameters
    ----------
    site : Site
        As recorded, checked. [-]
    compressor : Compressor
        As recorded. [-]
    zone : str
        Id of the zone. [-]
    air_temperature_k : float, optional
        Temperature of air, ground and inlet. [K]

    Returns
    -------
    tuple of (remedies, frontier)
        Remedies that help, fewest new things first; free air against receiver. [SI]
    """
    whole = lay_out(site) if site.card is not None else site
    base = _row(whole, compressor, zone, air_temperature_k)
    found = []
    for trial in _trials(whole, compressor, base):
        row = _row(
            trial.site,
            trial.compressor,
            zone,
            air_temperature_k,
            setting_pa=trial.setting_pa,
            passes=trial.passes,
        )
        if _helps(base, row):
            found.append(
                Remedy(
                    trial.act,
                    trial.on,
                    trial.value,
                    row.verdict,
                    _left(row),
                    trial.text,
                )
            )
    frontier = []
    for text in FRONTIER_RECEIVERS:
        size = Quantity(parse_quantity(text, "volume"), text, "assumed")
        row = _row(whole, replace(compressor, receiver=size), zone, air_temperature_k)
        frontier.append(Frontier(size.value, row.least_free_air_m3_per_s))
    return tuple(found), tuple(frontier)


def _row(
    site: Site,
    compressor: Compressor,
    zone: str,
    air_temperature_k: float | None,
    *,
    setting_pa: float | None = None,
    passes: int | None = None,
) -> RowSheet:
    """Compute one zone behind the mains of its port, and no other row."""
    rows, _ = build_rows(build_graph(site))
    wanted = next(row for row in rows if row.key == zone)
    keep = {r.key for r in rows if r.kind == "main" and r.port == wanted.port} | {zone}
    prepared = prepare(
        site,
        compressor,
        setting_pa=setting_pa,
        air_temperature_k=air_temperature_k,
        only=zone,
        keep=keep,
    )
    return next(r for r in blow(prepared, passes=passes).rows if r.row.key == zone)


def _left(row: RowSheet) -> float | None:
    return row.passes[-1].left_fraction_after if row.passes else None


def _helps(base: RowSheet, row: RowSheet) -> bool:
    before, after = RANKS.index(base.verdict), RANKS.index(row.verdict)
    if after != before:
        return after > before
    was, left = _left(base), _left(row)
    return was is not None and left is not None and left < WORTH_WHILE * was


def _trials(site: Site, compressor: Compressor, base: RowSheet) -> Iterator[_Trial]:
    key = base.row.key
    setting = base.set_pressure_pa
    if setting is not None:
        lower = 0.6 * setting
        shown = display(lower, "pressure", "us", "down")
        yield _Trial(
            "lower_set",
            key,
            shown,
            f"Set {shown}: slower air, better sweep for its mass.",
            site,
            compressor,
            setting_pa=lower,
        )
        yield _Trial(
            "more_passes",
            key,
            str(MORE_PASSES),
            f"Make {MORE_PASSES} passes.",
            site,
            compressor,
            passes=MORE_PASSES,
        )
    yield from _site_trials(site, compressor, base)
    yield from _machine_trials(site, compressor, base)


def _site_trials(
    site: Site, compressor: Compressor, base: RowSheet
) -> Iterator[_Trial]:
    heads = [o.point for o in base.row.outlets]
    laid = build_graph(site).site
    if heads:
        opened = _with_end_open(laid, heads[-1])
        yield _Trial(
            "open_end",
            heads[-1],
            OPEN_END,
            f"Take out the head at {heads[-1]} and blow through the open riser.",
            opened,
            compressor,
        )
    worst = next((w for w in base.standing_water if w.fills_bore), None)
    if worst is not None:
        yield _Trial(
            "drain_at",
            worst.at,
            display(worst.volume_m3, "volume", "us", "up"),
            f"Fit or open a drain at {worst.at}.",
            _with_drain(laid, worst.at),
            compressor,
        )
    others = [
        p.id for p in site.points if p.kind == "blowout_port" and p.id != base.row.port
    ]
    for port in others:
        without = tuple(
            replace_port(p) if p.id == base.row.port else p for p in laid.points
        )
        yield _Trial(
            "other_port",
            port,
            port,
            f"Blow from port {port}.",
            replace(laid, points=without),
            compressor,
        )
    if len(heads) >= 4:
        near = set(heads[: len(heads) // 2])
        capped = tuple(
            Junction(id=p.id, elevation=p.elevation) if p.id in near else p
            for p in laid.points
        )
        yield _Trial(
            "split_zone",
            base.row.key,
            str(len(near)),
            f"Cap the {len(near)} nearest heads and blow the rest by itself.",
            replace(laid, points=capped),
            compressor,
        )


def replace_port(point: Point) -> Junction:
    """Return a plain junction in the place of a port.

    Parameters
    ----------
    point : Point
        The port. [-]

    Returns
    -------
    Junction
        Same id and elevation. [-]
    """
    return Junction(id=point.id, elevation=point.elevation)


def _with_end_open(site: Site, head: str) -> Site:
    k = Quantity(parse_quantity(OPEN_END, "outlet_coefficient"), OPEN_END, "assumed")
    points = tuple(
        replace(p, k=k, flow=None, at_pressure=None, check_valve=None)
        if isinstance(p, Head) and p.id == head
        else p
        for p in site.points
    )
    return replace(site, points=points)


def _with_drain(site: Site, at: str) -> Site:
    point = next(p for p in site.points if p.id == at)
    drain = Drain(id=f"{at}.drain", drain="manual", elevation=point.elevation)
    joint = InlineDevice(id=f"{at}.tee", kind="fitting", from_=at, to=drain.id)
    return replace(site, points=(*site.points, drain), links=(*site.links, joint))


def _machine_trials(
    site: Site, compressor: Compressor, base: RowSheet
) -> Iterator[_Trial]:
    inch = Quantity(parse_quantity(BIGGER_HOSE, "diameter"), BIGGER_HOSE, "assumed")
    hose = compressor.hose
    if hose is not None and hose.inside_diameter.value < inch.value:
        yield _Trial(
            "bigger_hose",
            compressor.id,
            BIGGER_HOSE,
            f"Use a {BIGGER_HOSE} hose.",
            site,
            replace(compressor, hose=replace(hose, inside_diameter=inch)),
        )
    tank = Quantity(
        parse_quantity(BIGGER_RECEIVER, "volume"), BIGGER_RECEIVER, "assumed"
    )
    if compressor.receiver.value < tank.value:
        yield _Trial(
            "bigger_receiver",
            compressor.id,
            BIGGER_RECEIVER,
            f"Add a tank, {BIGGER_RECEIVER} in all.",
            site,
            replace(compressor, receiver=tank),
        )
    least = base.least_free_air_m3_per_s
    if least is not None and least > compressor.free_air_delivery.value:
        # A little more than the least, since the least itself is interpolated.
        value = 1.1 * least
        shown = display(value, "air_flow", "us", "up", digits=0)
        yield _Trial(
            "bigger_compressor",
            compressor.id,
            shown,
            f"Use a compressor of {shown} free air or more.",
            site,
            replace(
                compressor,
                free_air_delivery=Quantity(value, shown, "assumed"),
                duty=1.0,
            ),
        )


def remedies_as_json(
    found: tuple[tuple[Remedy, ...], tuple[Frontier, ...]],
) -> dict[str, object]:
    """Return the contract's members for ``--remedies``.

    Parameters
    ----------
    found : tuple of (remedies, frontier)
        From `find_remedies`. [SI]

    Returns
    -------
    dict
        ``remedies`` and ``frontier``. [-]
    """
    remedies, frontier = found
    return {
        "remedies": [
            {
                "act": r.act,
                "on": r.on,
                "value": r.value,
                "verdict": r.verdict,
                "left_fraction_after": r.left_fraction_after,
                "text": r.text,
            }
            for r in remedies
        ],
        "frontier": [
            {"receiver_m3": f.receiver_m3, "free_air_m3_per_s": f.free_air_m3_per_s}
            for f in frontier
        ],
    }

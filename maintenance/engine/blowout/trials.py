"""The remedies to try: each a changed site, compressor or way of blowing."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from maintenance.engine.blowout.machine import DEFAULT_STEP_PA
from maintenance.engine.blowout.settings import on_step
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
from maintenance.engine.units import Quantity, display, parse_quantity

BIGGER_HOSE = "1 in"
BIGGER_RECEIVER = "60 gal"
LOWER_SHARE = 0.6
MORE_PASSES = 6
OPEN_END = "10 gpm/psi^0.5"
"""Coefficient of an end pipe without its head, about 3/4 in; estimate, from memory."""


@dataclass(frozen=True, slots=True)
class Trial:
    """One remedy to try, in words, with everything that is changed."""

    act: str
    on: str
    value: str
    text: str
    site: Site
    compressor: Compressor
    setting_pa: float | None = None
    passes: int | None = None


def what_to_try(site: Site, compressor: Compressor, base: RowSheet) -> Iterator[Trial]:
    """List the remedies to try for a zone, fewest new things first.

    Parameters
    ----------
    site : Site
        As recorded. [-]
    compressor : Compressor
        As recorded. [-]
    base : RowSheet
        The zone as it is. [-]

    Yields
    ------
    Trial
        A changed site, compressor or way of blowing. [-]
    """
    key = base.row.key
    setting = base.set_pressure_pa
    if setting is not None:
        lower = on_step(LOWER_SHARE * setting, _step(compressor))
        shown = display(lower, "pressure", "us", "down")
        yield Trial(
            "lower_set",
            key,
            shown,
            f"Set {shown}: slower air, better sweep for its mass.",
            site,
            compressor,
            setting_pa=lower,
        )
        yield Trial(
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


def _step(compressor: Compressor) -> float:
    regulator = compressor.regulator
    return regulator.step.value if regulator and regulator.step else DEFAULT_STEP_PA


def _site_trials(site: Site, compressor: Compressor, base: RowSheet) -> Iterator[Trial]:
    heads = [o.point for o in base.row.outlets]
    laid = build_graph(site).site
    if heads:
        opened = _with_end_open(laid, heads[-1])
        yield Trial(
            "open_end",
            heads[-1],
            OPEN_END,
            f"Take out the head at {heads[-1]} and blow through the open riser.",
            opened,
            compressor,
        )
    wet = [w for w in base.standing_water if w.fills_bore and not w.runs_out]
    for places in ([wet[:1]] if wet else []) + ([wet] if len(wet) > 1 else []):
        points = tuple(w.at for w in places)
        amount = sum(w.volume_m3 for w in places)
        yield Trial(
            "drain_at",
            ", ".join(points),
            display(amount, "volume", "us", "up"),
            f"Fit or open a drain at {' and at '.join(points)}.",
            _with_drains(laid, points),
            compressor,
        )
    others = [
        p.id for p in site.points if p.kind == "blowout_port" and p.id != base.row.port
    ]
    for port in others:
        without = tuple(_plain(p) if p.id == base.row.port else p for p in laid.points)
        yield Trial(
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
        yield Trial(
            "split_zone",
            base.row.key,
            str(len(near)),
            f"Cap the {len(near)} nearest heads and blow the rest by itself.",
            replace(laid, points=capped),
            compressor,
        )


def _plain(point: Point) -> Junction:
    """Return a plain junction in the place of a port."""
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


def _with_drains(site: Site, places: Sequence[str]) -> Site:
    heights = {p.id: p.elevation for p in site.points}
    drains = [
        Drain(id=f"{a}.drain", drain="manual", elevation=heights[a]) for a in places
    ]
    joints = [
        InlineDevice(id=f"{at}.tee", kind="fitting", from_=at, to=drain.id)
        for at, drain in zip(places, drains, strict=True)
    ]
    return replace(site, points=(*site.points, *drains), links=(*site.links, *joints))


def _machine_trials(
    site: Site, compressor: Compressor, base: RowSheet
) -> Iterator[Trial]:
    inch = Quantity(parse_quantity(BIGGER_HOSE, "diameter"), BIGGER_HOSE, "assumed")
    hose = compressor.hose
    if hose is not None and hose.inside_diameter.value < inch.value:
        yield Trial(
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
        yield Trial(
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
        yield Trial(
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

"""The steps at an air outlet: opened before the water, shut when the air is out."""

from maintenance.engine.figure import Warning
from maintenance.engine.procedure.shutdown.names import listed
from maintenance.engine.procedure.spread import spread
from maintenance.engine.procedure.startup import minutes
from maintenance.engine.procedure.startup.air_outlets import AirOutlet
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.procedure.startup.fill_plan import Fill
from maintenance.engine.procedure.startup.fill_ways import summer_ways, wastes_half_open
from maintenance.engine.procedure.startup.fill_words import knock_text

_MAY_STAND = (
    "Air may be left in here under pressure from autumn, and nothing on record lets it "
    "off: stand aside, hold the key, and turn it a hair at a time."
)


def open_outlet(draft: Draft, fill: Fill, outlet: AirOutlet) -> None:
    """Write how an outlet is opened, once no pressure stands behind it.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    fill : Fill
        The filling. [-]
    outlet : AirOutlet
        The outlet. [-]
    """
    key = outlet.element
    _relieve_first(draft, fill, outlet)
    cautions: tuple[str, ...] = ()
    stands_under = draft.holds(outlet.cell).pressure != "relieved"
    if outlet.kind in ("quick_coupler", "test_cock") and stands_under:
        cautions = (_MAY_STAND,)
        text = "Pressure may be left where a coupler or cock is opened."
        draft.warnings.append(Warning("pressure_may_stand", text, (key,)))
    top = "the highest outlet" if outlet == fill.outlets[0] else "a branch of its own"
    stands = draft.positions[key] in (outlet.position, "half_open")
    draft.add(
        "check" if stands else "open",
        key,
        f"{_outlet_text(draft, outlet, stands=stands)}{draft.where(key)}",
        to=outlet.position,
        why=f"The air leaves here: it is {top} of what fills.",
        cautions=cautions,
        source="American Fork (UT) code 15.01.790 (air out at the high points)",
        moves=() if stands else [(key, outlet.position)],
        minutes=minutes.TURN,
    )


def _outlet_text(draft: Draft, outlet: AirOutlet, *, stands: bool) -> str:
    name = draft.name(outlet.element)
    if stands:
        return f"Leave {name} open for now."
    if outlet.kind == "quick_coupler":
        return f"Put the key in {name}, and leave it open."
    if outlet.kind == "zone_valve":
        return f"Open {name} by hand or from the controller, and see that its heads are free."
    return f"Open {name}."


def _relieve_first(draft: Draft, fill: Fill, outlet: AirOutlet) -> None:
    """Let pressure off that may stand since autumn, where something can do it."""
    if outlet.kind == "zone_valve" or draft.holds(outlet.cell).pressure == "relieved":
        return
    piping = draft.piping
    zones = [g for g in piping.gates if g.kind == "diaphragm" and g.start in fill.main]
    drains = [
        o.element for o in piping.openings if o.kind == "drain" and o.cell in fill.main
    ]
    if zones:
        valve = zones[0].id
        draft.add(
            "relieve",
            valve,
            f"Open {draft.name(valve)} for a moment, and see that nothing hisses or "
            "runs any more.",
            why="Pressure may be left from autumn; nothing is opened against it.",
            during=[(valve, "open")],
            sees=(valve,),
            minutes=minutes.TURN,
        )
    elif drains:
        draft.add(
            "relieve",
            drains[0],
            f"Open {draft.name(drains[0])} a little until nothing comes.",
            why="Pressure may be left from autumn; nothing is opened against it.",
            during=[(drains[0], "open")],
            sees=(drains[0],),
            minutes=minutes.TURN,
        )


def shut_outlet(draft: Draft, fill: Fill, outlet: AirOutlet) -> None:
    """Write how an outlet is shut again, a key only at zero pressure.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    fill : Fill
        The filling. [-]
    outlet : AirOutlet
        The outlet. [-]
    """
    key = outlet.element
    if outlet.kind == "quick_coupler":
        _stop(draft, fill, key)
    target = draft.piping.elements[key].summer[0]
    name = draft.short(key)
    if outlet.kind == "quick_coupler":
        text = f"With no pressure left, take the key out of {name}."
        why = "A key under pressure can fly out."
    else:
        text = f"When water runs from {name} without air, shut it slowly."
        why = "The air is out."
    draft.add(
        "close",
        key,
        text,
        to=target,
        why=why,
        cautions=knock_text(draft, fill) if outlet.kind != "quick_coupler" else (),
        moves=[(key, target)],
        minutes=minutes.TURN,
    )


def _stop(draft: Draft, fill: Fill, outlet: str) -> None:
    """Stop the water again, so that a key comes out at zero pressure."""
    if _at_rest(draft, fill):
        return
    pumps = [pump for pump in fill.way.pumps if feeds_nothing_else(draft, pump)]
    stopped = pumps or [stopper(draft, fill)]
    name = listed([draft.name(key) for key in stopped])
    shut = "off" if stopped[0] in (*pumps, fill.way.source) else "closed"
    draft.add(
        "close" if shut == "closed" else "switch_off",
        stopped[0],
        f"When water runs from {draft.short(outlet)} without air, "
        f"{'shut' if shut == 'closed' else 'switch off'} {name} again"
        f"{', slowly' if shut == 'closed' else ''}.",
        to=shut,
        why="The air is out; a key is only moved at zero pressure.",
        cautions=knock_text(draft, fill),
        moves=[(key, shut) for key in stopped],
        minutes=minutes.TURN,
    )


def stopper(draft: Draft, fill: Fill) -> str:
    """Return what is shut for a moment; a stop-and-waste would empty the line.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    fill : Fill
        The filling. [-]

    Returns
    -------
    str
        Element of a valve or a source; a stop-and-waste only where nothing else parts
        what was filled. [-]
    """
    piping, way = draft.piping, fill.way
    if not wastes_half_open(piping, way.gate):
        return way.turned
    own = draft.piping.supplies[way.source]
    users = set(piping.users.values())
    ways = draft.standing.passing
    for number, gate in enumerate(piping.gates):
        shut = tuple(0 if n == number else each for n, each in enumerate(ways))
        left = spread(piping, [own], shut)
        parts = gate.kind == "valve" and gate.id not in piping.selectors
        if not parts or wastes_half_open(piping, gate.id) or left & users:
            continue
        if not left & ({outlet.cell for outlet in fill.outlets} or fill.main):
            return gate.id
    return way.turned


def feeds_nothing_else(draft: Draft, pump: str) -> bool:
    """Whether a pump would press on a closed line once the irrigation is shut off.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    pump : str
        Id of the pump. [-]

    Returns
    -------
    bool
        False where a house or another use draws from it. [-]
    """
    piping = draft.piping
    gate = next(each for each in piping.gates if each.id == pump)
    users = set(piping.users.values())
    return not users & spread(piping, [gate.end], summer_ways(piping))


def _at_rest(draft: Draft, fill: Fill) -> bool:
    """Whether nothing presses any more, since the pump was stopped by hand."""
    return not any(draft.standing.sources_at(cell) for cell in fill.main)

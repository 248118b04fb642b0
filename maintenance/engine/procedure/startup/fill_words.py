"""What is said at a filling: amounts, times, cautions, sources."""

from maintenance.engine.procedure.shutdown.names import listed
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.procedure.startup.fill_plan import Fill
from maintenance.engine.procedure.startup.surge_at_closing import knock_at_closing
from maintenance.engine.procedure.startup.wording import both, clock, some
from maintenance.engine.site import Supply
from maintenance.engine.startup.fill import DEFAULT_VELOCITY_M_PER_S
from maintenance.engine.units import display

_SPEED = "1 ft/s: common practice, found in no source that was read"
_MOST = "never over 2 ft/s: Indian River County (FL), PE main specification, p. 183"
_NO_KNOCK = (
    "Shut it slowly: how hard it would knock cannot be worked out, since the pipe or the "
    "flow is unknown."
)
_AIR = "air out slowly: UF/IFAS Circular 828"


def fill_text(draft: Draft, fill: Fill, on: str) -> str:
    """Say what is opened, how much may run, and when it cannot be full yet.

    Parameters
    ----------
    draft : Draft
        The list so far: its minutes give the time of day. [-]
    fill : Fill
        The filling. [-]
    on : str
        What is opened or switched on. [-]

    Returns
    -------
    str
        Without a start the time is left out, without a size the amounts. [-]
    """
    return " ".join(
        (_opening(draft, fill, on), _amount(fill), _not_before(draft, fill))
    )


def _opening(draft: Draft, fill: Fill, on: str) -> str:
    name = draft.name(on)
    kind = draft.piping.elements[on].kind
    if kind == "pump":
        begin = f"Switch {name} on"
    elif kind == "supply":
        begin = f"Turn on {name} a little"
    elif fill.little == "open":
        begin = f"Open {name} slowly, all the way, since half turned it runs to waste"
    else:
        begin = f"Open {name} a little"
    flow = fill.amounts.flow_m3_per_s
    if flow is None:
        return f"{begin}, as little as it goes."
    return f"{begin}: no more than {both(flow, 'flow', 'down')} may run."


def _amount(fill: Fill) -> str:
    amounts = fill.amounts
    if amounts.volume_m3 is None:
        missing = some(amounts.unknown) or "the pipes"
        return (
            f"How much fills and how long it takes is unknown: enter the size of "
            f"{missing}."
        )
    return f"The pipes take {both(amounts.volume_m3, 'volume', 'up')}."


def _not_before(draft: Draft, fill: Fill) -> str:
    tops = listed([draft.short(outlet.element) for outlet in fill.outlets])
    full = f"no water at {tops}" if tops else "not full"
    time = fill.amounts.time_s
    if time is None:
        return f"Wait until {tops or 'the far end'} runs without air."
    lasts = display(time, "minutes", rounding="up", digits=0)
    at = clock(draft.start, draft.minutes + time / 60.0)
    if not at:
        return f"It takes at least {lasts}: {full} before that."
    begun = clock(draft.start, draft.minutes)
    return f"It takes at least {lasts}: {full} before {at}, if you begin at {begun}."


def fill_why(fill: Fill) -> str:
    """Say what sets the flow.

    Parameters
    ----------
    fill : Fill
        The filling. [-]

    Returns
    -------
    str
        One sentence. [-]
    """
    amounts = fill.amounts
    if amounts.flow_m3_per_s is None:
        return "Fast water drives the last air out with a blow."
    if amounts.limit != "speed":
        return f"More than {amounts.limit} cannot be had."
    return (
        f"That is {both(amounts.velocity_m_per_s or 0.0, 'velocity')} in {amounts.narrowest}, the narrowest "
        "pipe on the way: faster water drives the last air out with a blow."
    )


def fill_cautions(draft: Draft, fill: Fill) -> tuple[str, ...]:
    """Say what to watch while it fills.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    fill : Fill
        The filling. [-]

    Returns
    -------
    tuple of str
        One sentence or two each. [-]
    """
    amounts = fill.amounts
    said = []
    if fill.outlets:
        top = draft.short(fill.outlets[0].element)
        said.append(
            f"Air must come out at {top} soon after. If none comes, shut the water off "
            "and look why."
        )
    if amounts.time_s is not None:
        said.append(
            "Go by the time: the flow of a valve that is a little open cannot be seen. "
            "Water sooner than that: too fast, or the pipe was not empty."
        )
    if fill.stuck:
        said.append(
            f"No way out for the air is on record at {', '.join(fill.stuck)}: fill even "
            "slower, and listen there."
        )
    if amounts.assumed:
        said.append(
            f"Unknown pipe: {some(amounts.assumed)}, taken with the largest bore of its "
            "class. Stay well under the flow."
        )
    return (*said, *_other_users(draft, fill), *_pump_cautions(draft, fill))


def _other_users(draft: Draft, fill: Fill) -> tuple[str, ...]:
    piping, standing = draft.piping, draft.standing
    users = [
        (key, getattr(piping.graph.points[key], "what", "other use"))
        for key, cell in piping.users.items()
        if fill.way.source in standing.sources_at(cell)
    ]
    if not users:
        return ()
    names = listed([f"the {what} ({key})" for key, what in users])
    return (f"The same water feeds {names}: say that the pressure will drop.",)


def _pump_cautions(draft: Draft, fill: Fill) -> tuple[str, ...]:
    amounts = fill.amounts
    if not amounts.pump:
        return ()
    name = draft.short(amounts.pump)
    if amounts.in_spells:
        said = (
            f"{name[0].upper()}{name[1:]} must not run as slowly as the pipes ask: "
            "with a pressure tank let it start and stop; without one run it for half a "
            "minute, stop for two, and so on."
        )
    else:
        said = (
            f"The flow is raised to the least that {name} may run at; it stays under "
            "the speed never to pass."
        )
    return (said,)


def fill_sources(fill: Fill) -> str:
    """Name the sources of the speed.

    Parameters
    ----------
    fill : Fill
        The filling. [-]

    Returns
    -------
    str
        The own choice is said so. [-]
    """
    usual = fill.amounts.velocity_m_per_s in (None, DEFAULT_VELOCITY_M_PER_S)
    speed = _SPEED if usual else "speed as chosen for this site"
    return f"{speed}; {_MOST}; {_AIR}"


def knock_text(draft: Draft, fill: Fill) -> tuple[str, ...]:
    """Say how hard the water knocks when it is stopped at once.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    fill : Fill
        The filling. [-]

    Returns
    -------
    tuple of str
        One caution; empty without a flow. [-]
    """
    graph = draft.piping.graph
    knock = knock_at_closing(graph, fill.amounts.way, fill.amounts.flow_m3_per_s)
    left_out = ""
    if knock.unknown:
        left_out = f" Not worked out for unknown pipe: {some(knock.unknown)}."
    if knock.pressure_pa is None:
        return (_NO_KNOCK,)
    rigid = ", taken as rigid pipe" if knock.rigid else ""
    supply = graph.points[fill.way.source]
    static = supply.static_pressure if isinstance(supply, Supply) else None
    over = f", on top of {both(static.value, 'pressure')}" if static else ""
    up_to = both(knock.pressure_pa, "pressure", "up")
    said = f"Stopped at once, this flow knocks with up to {up_to} in {knock.worst}"
    return (f"{said}{rigid}{over}: turn slowly.{left_out}",)

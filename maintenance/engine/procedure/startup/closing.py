"""Everything that autumn left open gets its closing line, and the way is opened."""

from collections.abc import Collection, Iterable
from typing import Final

from maintenance.engine.figure import Warning
from maintenance.engine.procedure.checker import check_on
from maintenance.engine.procedure.elements import Element
from maintenance.engine.procedure.rules.openings import PUMP_WITH_A_WAY
from maintenance.engine.procedure.startup import minutes
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.procedure.startup.letting_in import let_in, newly_pressed
from maintenance.engine.procedure.startup.pumps import prime
from maintenance.engine.procedure.step import NO_SOURCE, Procedure

_SHUT: Final = ("closed", "plug_in", "key_out")
_OPEN: Final = ("open", "half_open")
_VALVES: Final = ("isolation_valve", "shutoff", "master_valve")
_CHECKLIST = (
    "Landscape Management, spring start-up checklist, 16 March 2016; contractors' pages"
)
AIR_STAYS: Final = "No outlet on record lets the air out of the pipes at these points."
_NOWHERE: Final = (
    "As the valves stand in summer this pump leads to nothing that takes its water: it "
    "is left off."
)
_SQUIRT = (
    "An open test cock squirts in your face when the water comes: look at every one."
)
_VAULT: Final = (
    "A pit that a body fits into may hold bad air: do not climb in unless you are "
    "trained and somebody watches (29 CFR 1910.146)."
)
_SAID: Final = {
    "open": "open",
    "half_open": "half open",
    "open_but_first": "open but for the first",
    "key_in": "with its key in",
    "hose_connected": "with a hose on",
}


def refit_parts(draft: Draft) -> None:
    """Write down what is put back: assemblies, filters, meters and the like.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    """
    draft.block = "Put back what was taken out"
    for key, element in _to_move(draft, ("in_place",)):
        if element.kind == "assembly":
            _refit_assembly(draft, key)
            continue
        draft.add(
            "install",
            key,
            f"Put {draft.name(key)} back, the way its arrow points.{draft.where(key)}",
            to="in place",
            why="It was taken out for winter.",
            moves=[(key, "in_place")],
            minutes=minutes.REFIT,
        )


def _refit_assembly(draft: Draft, key: str) -> None:
    link = draft.piping.graph.links[key]
    serial = getattr(link, "serial", None)
    named = f", serial {serial}" if serial else ""
    draft.add(
        "install",
        key,
        f"Fit {draft.name(key)}{named} back at its unions, the way its arrow points."
        f"{draft.where(key)}",
        to="in place",
        why="It was taken out for winter; putting it back calls for a test.",
        cautions=(
            "In many places only a licensed person may fit it: local codes decide.",
        ),
        source="North Riverside (IL), on winterising; Washington WAC 246-290-490(7)",
        moves=[(key, "in_place")],
        minutes=minutes.REFIT,
    )


def shut_gates(draft: Draft, gates: Iterable[tuple[str, str]]) -> None:
    """Write down what must be shut because nothing on record parts a source.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    gates : iterable of (str, str)
        What is shut, and the source that it parts. [-]
    """
    draft.block = "Shut what autumn opened"
    for gate, source in gates:
        off = draft.piping.elements[gate].kind == "supply"
        draft.add(
            "switch_off" if off else "close",
            gate,
            f"See that {draft.name(gate)} is {'turned off' if off else 'shut'}."
            f"{draft.where(gate)}",
            to="off" if off else "closed",
            why=f"Nothing on record was left shut between {source} and the pipes.",
            moves=[(gate, "off" if off else "closed")],
            minutes=minutes.TURN,
        )


def shut_openings(draft: Draft, *, but: Collection[str]) -> None:
    """Write one closing line for everything that stands open and is shut in summer.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    but : collection of str
        What stays open for now, since the air leaves by it. [-]
    """
    draft.block = "Shut what autumn opened"
    for key, element in _to_move(draft, _SHUT):
        if key in but:
            continue
        position = element.summer[0]
        was = _SAID.get(draft.positions[key], draft.positions[key])
        cocks = element.kind == "test_cocks"
        draft.add(
            "close",
            key,
            f"{_closing(draft, key, element)}{draft.where(key)}",
            to=position,
            why=f"It was left {was} for winter.".replace(
                "It was", "They were" if cocks else "It was"
            ),
            cautions=_cautions(draft, element) if cocks else (),
            source=_CHECKLIST,
            moves=[(key, position)],
            minutes=minutes.TURN,
        )


def _cautions(draft: Draft, element: Element) -> tuple[str, ...]:
    link = draft.piping.graph.links[element.part]
    buried = getattr(link, "placement", None) == "buried"
    return (_SQUIRT, _VAULT) if buried else (_SQUIRT,)


def _closing(draft: Draft, key: str, element: Element) -> str:
    name = draft.name(key)
    if element.kind == "quick_coupler":
        return f"Take the key out of {name}."
    if element.kind == "blowout_port":
        return f"Screw the plug back into {name}."
    if element.kind in ("end", "open_end"):
        return f"Put the cap on {name}."
    return f"Shut {name}."


def open_the_way(draft: Draft, *, but: Collection[str]) -> None:
    """Write down the valves that are opened before any water is let in.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    but : collection of str
        The valves that let the water in. [-]
    """
    draft.block = "Open the way for the water"
    for key, element in _to_move(draft, _OPEN):
        if key in but or element.kind not in _VALVES:
            continue
        position = element.summer[0]
        how = "halfway" if position == "half_open" else "fully"
        draft.add(
            "open",
            key,
            f"Open {draft.name(key)} {how}.{draft.where(key)}",
            to=position,
            why="No water stands behind it yet, so that nothing moves.",
            source=NO_SOURCE,
            moves=[(key, position)],
            minutes=minutes.TURN,
        )


def set_the_rest(draft: Draft, *, but: Collection[str]) -> None:
    """Write down whatever still stands otherwise than in summer, but for controllers.

    Parameters
    ----------
    draft : Draft
        The list. [-]
    but : collection of str
        What is left as it stands, since its water must not be let in. [-]
    """
    draft.block = "Everything else to its summer position"
    for key, element in draft.piping.elements.items():
        position = element.summer[0]
        if draft.positions[key] in (position, *_same(element)):
            continue
        if element.kind == "controller" or key in but:
            continue
        if element.kind == "pump":
            if _leads_nowhere(draft, key, position):
                draft.warnings.append(Warning("pump_leads_nowhere", _NOWHERE, (key,)))
                continue
            prime(draft, key)
        if newly_pressed(draft, key, position):
            stuck = let_in(draft, key, position)
            if stuck:
                draft.warnings.append(Warning("air_has_no_way", AIR_STAYS, stuck))
            continue
        if draft.positions[key] == position:
            continue
        draft.add(
            "switch_on" if position == "on" else "set",
            key,
            f"Bring {draft.name(key)} to: {position.replace('_', ' ')}."
            f"{draft.where(key)}",
            to=position,
            why="That is its summer position.",
            moves=[(key, position)],
            minutes=minutes.TURN,
        )


def _leads_nowhere(draft: Draft, pump: str, position: str) -> bool:
    """Whether a pump would press on a closed line, as the valves stand in summer."""
    trial = draft.twin()
    trial.add("switch_on", pump, "Switch it on.", moves=[(pump, position)])
    steps = Procedure("startup", tuple(trial.steps))
    checked = check_on(draft.piping, steps, start=draft.state)
    return any(each.rule.key == PUMP_WITH_A_WAY.key for each in checked.broken)


def _same(element: Element) -> tuple[str, ...]:
    """Return the positions that count as summer's besides the usual one."""
    return element.summer if element.kind == "pump" else ()


def _to_move(draft: Draft, targets: Collection[str]) -> list[tuple[str, Element]]:
    """Return what is to be brought to one of some positions, in the file's order."""
    positions = draft.positions
    return [
        (key, element)
        for key, element in draft.piping.elements.items()
        if element.summer[0] in targets and positions[key] != element.summer[0]
    ]

"""A small garden with a house, a well and two zones, and lists that suit it."""

from collections.abc import Sequence
from dataclasses import replace

from maintenance.engine.procedure.step import Act, Change, Procedure, Season, Step
from maintenance.engine.site import Site
from tests.engine.network.small_sites import (
    Record,
    joined,
    lateral,
    link,
    pipe,
    point,
    site_of,
    site_record,
)

HALF = {"summer": "open", "winter": "half_open"}
List = tuple[Step, ...]


def valve(id_: str, from_: str, to: str, summer: str, winter: str, **keys) -> Record:
    own = {"type": "ball", "summer": summer, "winter": winter, **keys}
    return link(id_, "isolation_valve", from_, to, **own)


def assembly(from_: str, to: str, device: str) -> Record:
    keys: Record = {"device": device, "size": "1"}
    if device not in ("AVB", "AG"):
        keys |= {"shutoff_1": HALF, "shutoff_2": HALF}
        keys["test_cocks"] = {"count": 4, "winter": "half_open"}
    return link("B1", "backflow", from_, to, **keys)


def town_side(device: str = "RP") -> tuple[list[Record], list[Record]]:
    """Town water to the main at J1, with a house before the shut-off IN."""
    points = [
        point("TOWN", "supply", 0.0, source="public"),
        point("K0"),
        point("HOUSE", "other_use", 1.0, what="house"),
        point("K1"),
        point("D0", "drain", -1.0, drain="manual"),
        point("K2", z_m=1.5),
        point("AIR", "blowout_port", 1.5),
        point("J1"),
        point("D1", "drain", -1.0, drain="manual"),
        point("Q1", "quick_coupler", 0.5),
        point("S1"),
        point("S2"),
    ]
    links = [
        valve("STOP", "TOWN", "K0", "open", "open"),
        pipe("PH", "K0", "HOUSE"),
        valve("IN", "K0", "K1", "open", "closed"),
        pipe("PD0", "K1", "D0"),
        pipe("PK", "K1", "K2"),
        assembly("K2", "AIR", device),
        pipe("PM", "AIR", "J1"),
        pipe("PD1", "J1", "D1"),
        pipe("PQ1", "J1", "Q1"),
        valve("SPUR", "J1", "S1", "open", "closed"),
        pipe("PS", "S1", "S2"),
    ]
    return points, links


def well_side() -> tuple[list[Record], list[Record]]:
    """A well that feeds a barn and, past a check and VW, the main at J1."""
    points = [
        point("WELL", "supply", -5.0, source="well"),
        point("W1"),
        point("BARN", "other_use", 1.0, what="barn"),
        point("W2"),
    ]
    links = [
        link(
            "PU", "pump", "WELL", "W1", control="pressure_switch", also_feeds=["BARN"]
        ),
        pipe("PB", "W1", "BARN"),
        link("C1", "check_valve", "W1", "W2"),
        valve("VW", "W2", "J1", "closed", "closed"),
    ]
    return points, links


FALLING = (0.5, 0.5, 0.5)


def garden(
    *,
    device: str = "RP",
    well: bool = True,
    main_placement: str = "buried",
    falls_m: Sequence[float] = FALLING,
    **keys,
) -> Site:
    """Return the garden; ``valve_`` keys go to zone 2's valve."""
    parts = [town_side(device)]
    if well:
        parts.append(well_side())
    own = {k: keys.pop(k) for k in list(keys) if k.startswith("valve_")}
    parts += [lateral("1", "J1", falls_m), lateral("2", "J1", falls_m, **own)]
    points, links = joined(*parts)
    for each in links:
        if each["id"] == "PM":
            each["placement"] = main_placement
    rule = {"cross_connection_rule": "rp_or_airgap", **keys}
    record = site_record(points, links, ["1", "2"], **rule)
    record["controllers"] = [{"id": "K", "wiring": "common"}]
    return site_of(record)


def step(act: Act, on: str, *changes: tuple[str, str], **keys) -> Step:
    """Return a step; its key is the act and what it is on."""
    moves = tuple(Change(*change) for change in changes)
    during = tuple(Change(*change) for change in keys.pop("during", ()))
    key = keys.pop("key", f"{act} {on}")
    return Step(key=key, act=act, on=on, text=key, changes=moves, during=during, **keys)


def opening(on: str, position: str = "open", act: Act = "open") -> Step:
    return step(act, on, (on, position), sees=(on,))


def closing(on: str, position: str = "closed") -> Step:
    return step("close", on, (on, position))


def blown(valve_: str) -> List:
    return (
        opening(valve_),
        step("switch_on", "air", ("compressor", "on"), key=f"air on {valve_}"),
        step("blow", valve_, row=valve_),
        step("switch_off", "air", ("compressor", "off"), key=f"air off {valve_}"),
        closing(valve_),
    )


def shutdown(*, well: bool = True) -> List:
    """Return a shutdown of the garden that breaks nothing."""
    well_watched = (step("prove_holding", "VW"),) if well else ()
    return (
        step("set", "K", ("controller:K", "suspended")),
        closing("IN"),
        step("run", "V1", during=(("V1", "open"),), sees=("V1",)),
        opening("D0"),
        step("prove_holding", "IN"),
        opening("B1/test_cocks", "half_open"),
        opening("D1"),
        *well_watched,
        closing("D1"),
        closing("B1/shutoff_2"),
        step("connect", "AIR", ("AIR", "hose_connected")),
        *blown("V1"),
        *blown("V2"),
        step("disconnect", "AIR", ("AIR", "open"), sees=("AIR",)),
        replace(opening("D1"), key="leave D1"),
        closing("SPUR"),
        step("set", "B1", ("B1/shutoff_1", "half_open"), ("B1/shutoff_2", "half_open")),
        step("switch_off", "K", ("controller:K", "off")),
    )


def startup() -> List:
    """Return a start-up of the garden that breaks nothing."""
    return (
        closing("D0"),
        closing("D1"),
        closing("B1/test_cocks"),
        step("open", "B1", ("B1/shutoff_1", "open"), ("B1/shutoff_2", "open")),
        opening("SPUR"),
        step("switch_on", "K", ("controller:K", "on")),
        step("open", "V1", ("V1", "open")),
        step("open", "IN", ("IN", "open"), sees=("V1",)),
        closing("V1"),
    )


def procedure(season: Season, steps: Sequence[Step]) -> Procedure:
    return Procedure(season, tuple(steps))


def place(steps: Sequence[Step], key: str) -> int:
    """Return the number of the one step with a key, from 1."""
    found = [n for n, each in enumerate(steps, start=1) if each.key == key]
    assert len(found) == 1, key
    return found[0]


def without(steps: Sequence[Step], key: str) -> List:
    at = place(steps, key) - 1
    return (*steps[:at], *steps[at + 1 :])


def put_before(steps: Sequence[Step], key: str, before: str) -> List:
    """Move a step to just before another one."""
    moving = steps[place(steps, key) - 1]
    rest = without(steps, key)
    at = place(rest, before) - 1
    return (*rest[:at], moving, *rest[at:])


def swapped(steps: Sequence[Step], key: str, *others: Step) -> List:
    """Put other steps in the place of one."""
    at = place(steps, key) - 1
    return (*steps[:at], *others, *steps[at + 1 :])

"""A site typed in by a person: where the water comes from and what guards it.

The answers to a page of questions become the beginning of a `Site`: its sources and
what else they feed, the shut-off, the backflow assembly, and the start of the main.
"""

from collections.abc import Mapping
from typing import Any

from maintenance.engine.site.answers import (
    GUESSED,
    UNKNOWN,
    UNSEEN,
    Answers,
    Reading,
    guessed,
)
from maintenance.engine.site.faults import Faults
from maintenance.engine.site.links import (
    Backflow,
    InlineDevice,
    IsolationValve,
    Link,
    Pump,
)
from maintenance.engine.site.points import Junction, OtherUse, Supply
from maintenance.engine.site.whole import Place, Site


def _level(name: str) -> dict[str, Any]:
    """Return a point at the level from which the person counts."""
    return {"id": name, "elevation": "0 ft"}


def site_from_answers(answers: Answers, *, site_id: str) -> Site:
    """Build the beginning of a site: its place, its water and what guards it.

    Parameters
    ----------
    answers : mapping of str to str
        ``name elevation time_zone autumn_air``, ``source static_pressure flow pump
        also_feeds second_source``, ``shut_off device device_size device_placement``;
        an empty answer or ``unknown`` is "I don't know". [-]
    site_id : str
        Id of the site. [-]

    Returns
    -------
    Site
        Source to the start of the main (point ``J2``); no zones yet. [-]

    Raises
    ------
    Faults
        All answers that cannot be read; each path is the answer's name.
    """
    reading = Reading(answers)
    if not reading.text("name"):
        reading.refuse("name", "The site needs a name; any will do.")
    place = reading.part(
        Place,
        {},
        {
            "elevation": "elevation",
            "time_zone": "time_zone",
            "autumn_air_temperature": "autumn_air",
        },
        {
            "elevation": guessed(GUESSED["elevation"]),
            "time_zone": GUESSED["time_zone"],
        },
    )
    points, links, start = _sources(reading)
    links += _guards(reading, start)
    points += [
        reading.part(Junction, _level("J1")),
        reading.part(Junction, _level("J2")),
    ]
    if reading.faults or place is None:
        raise Faults(reading.faults)
    return Site(
        id=site_id,
        name=reading.text("name"),
        place=place,
        points=tuple(point for point in points if point is not None),
        links=tuple(link for link in links if link is not None),
    )


def _sources(reading: Reading) -> tuple[list[Any], list[Link | None], str]:
    """Return the points and links of the sources, and where the water stands."""
    first: dict[str, object] = {**_level("S1")}
    if not reading.text("source"):
        first |= {"source": "public", "note": f"{UNSEEN}the kind of source."}
    points: list[Any] = [
        reading.part(
            Supply,
            first,
            {"static_pressure": "static_pressure", "flow": "flow"}
            | ({"source": "source"} if reading.text("source") else {}),
        )
    ]
    links: list[Link | None] = []
    start = "S1"
    pump = reading.text("pump")
    if pump and pump != "none":
        points.append(reading.part(Junction, _level("J0")))
        links.append(
            reading.part(
                Pump,
                {"id": "PU", "from": "S1", "to": "J0", "drains_back": UNKNOWN},
                {"pump": "pump"},
            )
        )
        start = "J0"
    feeds = reading.text("also_feeds")
    if feeds and feeds.lower() not in ("nothing", "none", "no"):
        points.append(reading.part(OtherUse, {**_level("U1"), "what": feeds}))
        links.append(joint(reading, "F1", start, "U1"))
    second = reading.text("second_source")
    if second and second != "none":
        note = f"{UNSEEN}where and how the second source joins."
        supply = {**_level("S2"), "note": note}
        points.append(reading.part(Supply, supply, {"source": "second_source"}))
        links.append(
            reading.part(
                IsolationValve,
                {"id": "V2", "from": "S2", "to": "J2", "winter": "closed"},
            )
        )
    return points, links, start


def _guards(reading: Reading, start: str) -> list[Link | None]:
    """Return the shut-off of the irrigation and its backflow assembly."""
    ends = {"from": start, "to": "J1"}
    if reading.text("shut_off") in ("", "none"):
        unseen = (
            {}
            if reading.text("shut_off")
            else {"note": f"{UNSEEN}the shut-off of the irrigation, not found yet."}
        )
        valve: Link | None = joint(reading, "V1", start, "J1", unseen)
    else:
        valve = reading.part(
            IsolationValve,
            {"id": "V1", **ends, "summer": "open", "winter": "closed"},
            {"type": "shut_off"} if reading.text("shut_off") != "other" else {},
        )
    if reading.text("device") in ("", "none"):
        unseen = (
            {}
            if reading.text("device")
            else {"note": f"{UNSEEN}the backflow assembly, not found yet."}
        )
        return [valve, joint(reading, "B1", "J1", "J2", unseen)]
    device = reading.part(
        Backflow,
        {"id": "B1", "from": "J1", "to": "J2"},
        {
            "device": "device",
            "size": "device_size",
            "placement": "device_placement",
        },
    )
    return [valve, device]


def joint(
    reading: Reading,
    name: str,
    start: str,
    end: str,
    more: Mapping[str, object] | None = None,
) -> InlineDevice | None:
    """Join two points without length or volume.

    Parameters
    ----------
    reading : Reading
        The answers being read. [-]
    name, start, end : str
        Id of the fitting and of its ends. [-]
    more : mapping, optional
        Further keys, such as a note. [-]

    Returns
    -------
    InlineDevice or None
        None where it is refused. [-]
    """
    fixed = {"id": name, "kind": "fitting", "from": start, "to": end}
    return reading.part(InlineDevice, {**fixed, **(more or {})})

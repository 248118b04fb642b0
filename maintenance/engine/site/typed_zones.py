"""A site typed in by a person: its main, its blow-out port and its first zones."""

import re
from dataclasses import replace

from maintenance.engine.errors import InputError
from maintenance.engine.site.answers import (
    GUESSED,
    GUESSED_HEADS,
    UNSEEN,
    Answers,
    Reading,
    guessed,
    upside_down,
)
from maintenance.engine.site.faults import Faults
from maintenance.engine.site.links import Link, Pipe
from maintenance.engine.site.points import BlowoutPort, Junction, Point
from maintenance.engine.site.typed import joint
from maintenance.engine.site.whole import QuickZone, Site, Zone
from maintenance.engine.units import parse_quantity

_ZONE_ANSWER = re.compile(r"zone_(\d{1,3})_\w+")


def zone_numbers(answers: Answers) -> tuple[int, ...]:
    """Return the numbers of the zones that the answers tell of.

    Parameters
    ----------
    answers : mapping of str to str
        Answers named ``zone_n_…``. [-]

    Returns
    -------
    tuple of int
        Ascending; always with the first. [-]

    Examples
    --------
    >>> zone_numbers({"zone_3_length": "90 ft", "zone_4_length": " "})
    (1, 3)
    """
    told = {
        int(match[1])
        for name, answer in answers.items()
        if answer.strip() and (match := _ZONE_ANSWER.fullmatch(name))
    }
    return tuple(sorted(told | {1}))


def with_water_ways(site: Site, answers: Answers) -> Site:
    """Add the main, the blow-out port and the first quick zones.

    Parameters
    ----------
    site : Site
        A site as `site_from_answers` leaves it. [-]
    answers : mapping of str to str
        ``main_pipe main_size main_length main_fall``, ``port port_fitting
        port_where``, and for each zone n from 1 on ``zone_n_name`` and
        ``zone_n_pipe``, ``_size``, ``_length``, ``_heads``, ``_head``, ``_flow``,
        ``_at_pressure``, ``_fall``; an empty answer or ``unknown`` is "I don't
        know". A zone without any answer is left out, but for the first. [-]

    Returns
    -------
    Site
        The site with its water ways. [-]

    Raises
    ------
    Faults
        All answers that cannot be read; each path is the answer's name.
    """
    reading = Reading(answers)
    end = _main_end(reading)
    main = reading.part(
        Pipe,
        {"id": "P1", "from": "J2", "to": "J3"}
        | ({} if reading.text("main_size") else {"note": f"{UNSEEN}size of the main."}),
        {"pipe": "main_pipe", "size": "main_size", "length": "main_length"},
        {
            "pipe": GUESSED["pipe"],
            "size": GUESSED["main_size"],
            "length": guessed(GUESSED["main_length"]),
        },
    )
    points, links = _port(reading, end)
    zones = [zone_from_answers(reading, n, "J3") for n in zone_numbers(answers)]
    if reading.faults or end is None or main is None:
        raise Faults(reading.faults)
    return replace(
        site,
        points=(*site.points, end, *points),
        links=(*site.links, main, *links),
        zones=(*site.zones, *(zone for zone in zones if zone is not None)),
    )


def _main_end(reading: Reading) -> Junction | None:
    """Return the far end of the main; level with its start where nobody knows."""
    fall = reading.text("main_fall")
    try:
        parse_quantity(fall or "0 ft", "height")
    except InputError as refusal:
        reading.refuse("main_fall", refusal.text)
        return None
    level: object = upside_down(fall) if fall else guessed("0 ft")
    before = len(reading.faults)
    end = reading.part(Junction, {"id": "J3", "elevation": level})
    reading.faults[before:] = [
        replace(fault, path="main_fall") for fault in reading.faults[before:]
    ]
    return end


def _port(reading: Reading, end: Junction | None) -> tuple[list[Point], list[Link]]:
    """Return the port and its joint; one nobody has looked for is a guess."""
    where = reading.text("port")
    if where == "none":
        return [], []
    at_end = where == "main_end"
    fall = reading.text("main_fall") if at_end and end else ""
    fixed: dict[str, object] = {
        "id": "A1",
        "elevation": upside_down(fall) if fall else "0 ft",
    }
    if not where:
        fixed["note"] = (
            f"{UNSEEN}nobody has looked for the port yet. Find it, or have one "
            "fitted, before a compressor comes."
        )
    port = reading.part(
        BlowoutPort, fixed, {"fitting": "port_fitting", "where": "port_where"}
    )
    link = joint(reading, "F2", "J3" if at_end else "J2", "A1")
    return [port] if port else [], [link] if link else []


def zone_from_answers(reading: Reading, number: int, from_: str) -> Zone | None:
    """Build one quick zone.

    Parameters
    ----------
    reading : Reading
        The answers being read; faults are added to it. [-]
    number : int
        Number of the zone in the names of its answers and its id. [-]
    from_ : str
        Point from which the zone is fed. [-]

    Returns
    -------
    Zone or None
        None where an answer is refused. [-]
    """
    asked = f"zone_{number}_"
    quick = reading.part(
        QuickZone,
        {
            "heads": reading.whole_number(f"{asked}heads", GUESSED_HEADS),
            "from": from_,
        },
        {
            key: f"{asked}{key}"
            for key in ("pipe", "size", "length", "head", "flow", "at_pressure", "fall")
        },
        {
            "pipe": GUESSED["pipe"],
            "size": GUESSED["zone_size"],
            "length": guessed(GUESSED["zone_length"]),
            "head": GUESSED["zone_head"],
        },
    )
    unknown = [
        words
        for key, words in (
            ("size", f"pipe size (taken as {GUESSED['zone_size']} in)"),
            ("heads", f"number of heads (taken as {GUESSED_HEADS})"),
            ("head", f"kind of heads (taken as {GUESSED['zone_head']})"),
        )
        if not reading.text(f"{asked}{key}")
    ]
    name = reading.text(f"{asked}name")
    if quick is None:
        return None
    return Zone(
        id=str(number),
        name=name or None,
        quick=quick,
        note=f"{UNSEEN}{', '.join(unknown)}." if unknown else None,
    )

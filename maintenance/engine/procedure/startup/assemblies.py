"""Backflow assemblies in spring: seated again, then tested where the rule says so."""

from typing import Final

from maintenance.engine.procedure.startup import minutes
from maintenance.engine.procedure.startup.draft import Draft
from maintenance.engine.procedure.startup.wording import where_of
from maintenance.engine.site import Backflow

_SEATING: Final = {
    "RP": "its relief port should stop dripping within a minute or two",
    "DC": "nothing should drip at its test cocks and joints",
    "PVB": "its air inlet should stop spitting and stay shut",
    "SVB": "its air inlet should shut, and nothing drip",
    "AVB": "its float should shut while a zone runs, and drop when it stops",
    "AG": "the pipe should end well above the rim",
}
_TESTED: Final = ("RP", "DC", "PVB", "SVB")
_REINSTALLED = "Washington WAC 246-290-490(7): a test after it is put back"
_AT_TURN_ON = (
    "rules differ by place: Calgary (tested when turned on for the season), Wilmette (IL) "
    "(before it is turned on), Ankeny (IA) (idle over three months)"
)
_PLACES: Final = {
    "rp_or_airgap": "On this site a second source is allowed only behind it.",
    "prohibited": "On this site a second source may not be piped to the public supply.",
    "case_by_case": "On this site the water supplier decides about a second source.",
}


def seat_assemblies(draft: Draft, refitted: frozenset[str]) -> None:
    """Write how each assembly is seated, and raise its test.

    Parameters
    ----------
    draft : Draft
        The list, filled by now. [-]
    refitted : frozenset of str
        Assemblies that were taken out in autumn. [-]
    """
    draft.block = "Backflow assemblies"
    for link in draft.piping.graph.links.values():
        if not isinstance(link, Backflow):
            continue
        _seat(draft, link)
        if link.device in _TESTED:
            _raise_test(draft, link, link.id in refitted)
        else:
            _inspect(draft, link, link.id in refitted)


def _seat(draft: Draft, link: Backflow) -> None:
    draft.add(
        "check",
        link.id,
        f"Look at assembly {link.id} ({link.device}) under pressure: {_SEATING[link.device]}."
        f"{where_of(draft.piping.graph, link.id)}",
        why="It may spit until it seats; if it goes on, something is split or dirty.",
        cautions=(
            "Do not take it apart: repair is licensed work in many places.",
            "If it froze, shut it off and call the water supplier or a tester.",
        ),
        minutes=minutes.SEAT,
    )


def _raise_test(draft: Draft, link: Backflow, refitted: bool) -> None:
    serial = f", serial {link.serial}" if link.serial else ""
    place = _PLACES.get(draft.piping.graph.site.cross_connection_rule or "", "")
    why = (
        "It was taken out and put back, and that calls for a test."
        if refitted
        else "Many places want it when the water is turned on."
    )
    draft.add(
        "test",
        link.id,
        f"Have assembly {link.id} ({link.device}{serial}) tested now by a licensed "
        "tester, and file the report.",
        why=f"{why} {place}".strip(),
        cautions=(
            "Local code decides whether and by when; ask the water supplier.",
            "Only a licensed tester with a gauge in calibration may test it.",
        ),
        source=f"{_REINSTALLED}; {_AT_TURN_ON}" if refitted else _AT_TURN_ON,
        minutes=minutes.ARRANGE,
    )


def _inspect(draft: Draft, link: Backflow, refitted: bool) -> None:
    gap = link.device == "AG"
    what = (
        "Measure the gap: at least twice the bore of the supply pipe, and never under "
        "1 in (25 mm)."
        if gap
        else "No gauge test is made of it: have it inspected where the rule says so."
    )
    again = " It was put back, so an inspection is due." if refitted else ""
    draft.add(
        "check",
        link.id,
        f"{link.device} {link.id}: {what}{again}",
        why="It keeps irrigation water out of the drinking water.",
        cautions=("Local code decides; ask the water supplier.",),
        source=(
            "Cerritos (CA) code 13.12.015"
            if gap
            else "Washington WAC 246-290-490(7): inspection instead of a test"
        ),
        minutes=minutes.LOOK,
    )

"""Before any valve is turned: people and gear, the last run, the meter."""

from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.procedure.shutdown import cautions, citations
from maintenance.engine.procedure.shutdown.air import Planned
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.names import listed
from maintenance.engine.procedure.step import NO_SOURCE, Step
from maintenance.engine.site import BlowoutPort
from maintenance.engine.units import display, parse_quantity

COLDEST_AIR_K = parse_quantity("36 degF", "temperature")
"""Air below this can freeze in the hose and the valves; common practice, no source."""
ZONE_MINUTES = 2.0
"""A look at one zone; Landscape trade practice, common, no source."""


def get_ready(draft: Draft, sheet: Sheet | None, planned: Planned) -> None:
    """Write who and what must be there, and what to mind all day.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    sheet : Sheet or None
        The blow-out sheet. [-]
    planned : Planned
        What is blown. [-]
    """
    if sheet is None or not planned.stints:
        draft.add(
            Step(
                key="check people",
                act="check",
                on="people",
                text="Tell everyone on the site. Have valve key, box key, tags and light.",
                why="Nobody opens a valve behind your back.",
                cautions=(cautions.LOCAL, cautions.PIT),
                source=NO_SOURCE,
                minutes=5,
            )
        )
        return
    post = "controller" if draft.given.graph.site.controllers else "valves"
    draft.add(
        Step(
            key="check people",
            act="check",
            on="people",
            text=(
                f"Tell everyone on the site. Two people if you can: one at the {post}, "
                "one at the air."
            ),
            why="Heads come up and throw grit wherever a zone opens.",
            cautions=(cautions.LOCAL, *cautions.PEOPLE, cautions.BURIED_PLASTIC),
            source="30 CFR 77.412; British Compressed Air Society, 2016; ASTM D2241",
            minutes=10,
        )
    )
    coldest = display(COLDEST_AIR_K, "temperature", draft.given.units)
    draft.add(
        Step(
            key="check gear",
            act="check",
            on="gear",
            text=(
                f"Compressor {sheet.compressor} with regulator, relief valve and gauge; "
                f"hose and restraints; fittings for {_ports(draft, planned)}; coupler, "
                f"valve and box keys; stopwatch, tags. Air at {coldest} or more and rising."
            ),
            why="A wrong adapter costs the day.",
            cautions=(cautions.ENGINE, cautions.HOSE),
            source=NO_SOURCE,
            minutes=15,
        )
    )


def last_run(draft: Draft) -> None:
    """Write the last look at every zone with water, and the meter's reading.

    Parameters
    ----------
    draft : Draft
        The list so far. [-]
    """
    zones = draft.given.zones
    if zones:
        draft.add(
            Step(
                key="run zones",
                act="run",
                on="zones",
                to="looked at",
                text=(
                    f"Run each of the {len(zones)} zones for two minutes. Look at every "
                    "head; flag and write down every fault."
                    if len(zones) > 1
                    else "Run the zone for two minutes. Look at every head; flag and write "
                    "down every fault."
                ),
                why="It is the last look with water: spring's work list.",
                source=citations.GOLF,
                minutes=ZONE_MINUTES * len(zones),
            )
        )
    meters = [x.id for x in draft.given.graph.links.values() if x.kind == "meter"]
    if meters:
        draft.add(
            Step(
                key="record meter",
                act="record",
                on=meters[0],
                to="read",
                text=f"Read {listed(meters)} and write it down.",
                why="In spring it shows whether water ran in winter.",
                source=citations.GOLF,
                minutes=2,
            )
        )


def _ports(draft: Draft, planned: Planned) -> str:
    names = []
    for port in dict.fromkeys(port for port, _ in planned.stints):
        point = draft.given.graph.points[port]
        fits = point.fitting if isinstance(point, BlowoutPort) else None
        names.append(f"{port} ({fits})" if fits else port)
    return listed(names)

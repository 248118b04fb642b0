"""Water shut in between valves: it runs off through one of them, opened for a while."""

from maintenance.engine.procedure.shutdown import cautions
from maintenance.engine.procedure.shutdown.draft import Draft
from maintenance.engine.procedure.shutdown.isolation import source_valves
from maintenance.engine.procedure.shutdown.names import noted, part_words
from maintenance.engine.procedure.state import drains
from maintenance.engine.procedure.step import NO_SOURCE, Change, Step
from maintenance.engine.site import IsolationValve


def drain_locked_in(draft: Draft) -> None:
    """Write the steps that let shut-in water run into a line that drains.

    Parameters
    ----------
    draft : Draft
        The list so far, the drains open. [-]
    """
    sources = source_valves(draft)
    for link in draft.given.graph.links.values():
        if not isinstance(link, IsolationValve) or link.id in sources:
            continue
        if draft.positions[link.id] != "closed" or not _parts_full(draft, link.id):
            continue
        step = Step(
            key=f"drain through {link.id}",
            act="drain",
            on=link.id,
            to="run off",
            text=(
                f"Open {part_words(link)} until nothing more runs, then shut it again."
                f"{noted(link)}"
            ),
            why="Water stands shut in behind it; it runs off to the open drains.",
            cautions=(cautions.SPURTS,),
            source=NO_SOURCE,
            minutes=5,
            during=(Change(link.id, "open"),),
        )
        if not draft.breaks(step):
            draft.add(step)


def _parts_full(draft: Draft, valve: str) -> bool:
    """Whether a shut valve parts a full section from one that drains."""
    standing, state = draft.standing, draft.state
    gate, dry = draft.given.gates[valve], draft.dry()
    sections = [
        standing.cells[standing.section_of[cell]] for cell in (gate.start, gate.end)
    ]
    if sections[0] == sections[1] or not all(each in dry for each in sections):
        return False
    runs = [drains(standing, state.seen, each) for each in sections]
    full = [state.section(each).holds in ("water", "unknown") for each in sections]
    return (full[0] and not runs[0] and runs[1]) or (
        full[1] and not runs[1] and runs[0]
    )

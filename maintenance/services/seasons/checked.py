"""A list as it stands, replayed against the rules; a person may have changed it."""

from functools import lru_cache
from typing import Final

from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.beginning import begin
from maintenance.engine.procedure.checker import CheckedProcedure, check_on
from maintenance.engine.procedure.piping import lay_piping
from maintenance.engine.procedure.positions import summer_positions, winter_positions
from maintenance.engine.procedure.shutdown.run_off import levels_after
from maintenance.engine.procedure.step import Procedure
from maintenance.engine.site import Site
from maintenance.engine.site.card import site_from_card
from maintenance.services.seasons.choices import choices_from_record
from maintenance.services.seasons.kept_list import StepLine, WholeList

FROM_WINTER: Final = ("startup", "frost_undo")
"""Seasons that begin as the one before left the system."""
KEPT_CHECKS: Final = 32
"""Checks kept in memory: a page that is printed or looked at again comes at once."""


def check_list(site: Site, whole: WholeList) -> CheckedProcedure:
    """Check a list in its present order, without what was skipped; in no query.

    Raises
    ------
    InputError
        If a step moves what the site no longer has: it was changed since.
    """
    begins = whole.head.season in FROM_WINTER
    left = tuple(sorted(whole.start.items())) if begins else None
    agreed = choices_from_record(whole.choices).shutdown.agreed
    return _checked(site, whole.procedure, left, agreed)


def checked_lines(whole: WholeList) -> tuple[StepLine, ...]:
    """Return the line of each step that `check_list` replays, in that order."""
    return tuple(
        line
        for line in whole.all_steps
        if not line.gone and not (line.report and line.report.outcome == "skipped")
    )


@lru_cache(maxsize=KEPT_CHECKS)
def _checked(
    site: Site,
    procedure: Procedure,
    left: tuple[tuple[str, str], ...] | None,
    agreed: frozenset[str],
) -> CheckedProcedure:
    graph = build_graph(site_from_card(site))
    piping = lay_piping(graph)
    positions = None
    if left is not None:
        usual = winter_positions if procedure.season == "startup" else summer_positions
        positions = usual(graph)
        positions |= {key: word for key, word in left if key in positions}
    return check_on(
        piping,
        procedure,
        agreed=agreed,
        start=begin(piping, procedure.season, positions),
        levels=levels_after(graph, procedure),
    )

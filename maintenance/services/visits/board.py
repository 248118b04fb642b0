"""How each site ends a season: the board on which no site may be missing.

A site's outcome comes from its standing (sold, stopped), from the visits of the season,
and from its list where that was closed. Whatever settled it counts, whenever it came.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from maintenance.models import (
    Account,
    SeasonList,
    SiteOutlook,
    SiteSeason,
    Visit,
    ZoneOutcome,
)
from maintenance.models.sites import Site as SiteRow
from maintenance.services.visits.queries import known_level
from maintenance.services.visits.season_of_visit import OPEN_ENDS
from maintenance.services.visits.words import OUTCOMES, STANDINGS, TO_GO_BACK

OUT: Final = ("sold", "stopped")
GROUPS: Final = ("without", "again", "settled")
"""Without an outcome; ended so that somebody must go again; settled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One thing that tells of a site's season: what, by what, when."""

    outcome: str
    by: str
    at: datetime | None = None
    note: str = ""
    visit_id: int | None = None
    list_id: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardLine:
    """A site on the board.

    ``outcome`` is empty while there is none; then ``state`` tells how far it is:
    ``under_way``, ``planned`` or ``nothing``. ``level`` is that of the freeze outlook.
    """

    site_key: str
    site_name: str
    time_zone: str
    group: str
    outcome: str
    state: str
    told: tuple[Told, ...]
    level: int | None

    @property
    def words(self) -> str:
        """The outcome in words, else how far it is."""
        if self.outcome:
            return OUTCOMES.get(self.outcome) or STANDINGS[self.outcome]
        return {"under_way": "under way", "planned": "planned"}.get(
            self.state, "nothing planned"
        )


@dataclass(frozen=True, slots=True)
class Board:
    """All standing sites in one season of one year."""

    season: str
    year: int
    lines: tuple[BoardLine, ...]

    def count(self, group: str) -> int:
        """Count the sites of a group."""
        return sum(line.group == group for line in self.lines)

    @property
    def without(self) -> int:
        """How many sites have no outcome."""
        return self.count("without")


def season_board(account: Account, *, season: str, year: int) -> Board:
    """Return the board of a season, in six queries for any number of sites.

    What has no outcome comes first, the most exposed to frost before all others.
    """
    sites = SiteRow.objects.for_account(account).standing().order_by("name", "key")
    named = list(sites.values_list("pk", "key", "name", "time_zone"))
    told: dict[int, list[Told]] = {pk: [] for pk, *_ in named}
    open_states: dict[int, set[str]] = {pk: set() for pk in told}
    _tell_standings(account, season, year, told)
    _tell_visits(account, season, year, told, open_states)
    _tell_lists(account, season, year, told, open_states)
    outlooks = SiteOutlook.objects.for_account(account)
    levels = {
        site: known_level(level, chance, day)
        for site, level, chance, day in outlooks.values_list(
            "site_id", "level", "chance", "planning_date"
        )
    }
    lines = [
        _line((key, name, zone), told[pk], open_states[pk], levels.get(pk))
        for pk, key, name, zone in named
    ]
    return Board(season, year, tuple(sorted(lines, key=_first_first)))


def _tell_standings(
    account: Account, season: str, year: int, told: dict[int, list[Told]]
) -> None:
    rows = SiteSeason.objects.for_account(account).filter(season=season, year=year)
    for site, standing, note in rows.values_list("site_id", "standing", "note"):
        if site in told and standing in OUT:
            told[site].append(Told(outcome=standing, by="standing", note=note))


def _tell_visits(
    account: Account,
    season: str,
    year: int,
    told: dict[int, list[Told]],
    open_states: dict[int, set[str]],
) -> None:
    rows = Visit.objects.for_account(account).filter(kind=season, season_year=year)
    for pk, site, state, outcome, note, at in rows.order_by(
        "left_at", "pk"
    ).values_list("pk", "site_id", "state", "outcome", "outcome_note", "left_at"):
        if site not in told:
            continue
        if state == "ended":
            told[site].append(
                Told(outcome=outcome, by="visit", at=at, note=note, visit_id=pk)
            )
        elif state != "called_off":
            open_states[site].add(state)


def _tell_lists(
    account: Account,
    season: str,
    year: int,
    told: dict[int, list[Told]],
    open_states: dict[int, set[str]],
) -> None:
    lists = SeasonList.objects.for_account(account).filter(season=season, year=year)
    not_all = set(
        ZoneOutcome.objects.filter(
            list__in=lists, retired_at=None, outcome__in=OPEN_ENDS
        ).values_list("list_id", flat=True)
    )
    for pk, site, closed in lists.order_by("opened_at", "pk").values_list(
        "pk", "site_id", "closed_at"
    ):
        if site not in told:
            continue
        if closed is None:
            open_states[site].add("under_way")
            continue
        outcome = "partly" if pk in not_all else "done"
        told[site].append(Told(outcome=outcome, by="list", at=closed, list_id=pk))


def _line(
    named: tuple[str, str, str],
    told: list[Told],
    open_states: set[str],
    level: int | None,
) -> BoardLine:
    key, name, zone = named
    settled = [each for each in told if each.outcome not in TO_GO_BACK]
    state = next((s for s in ("under_way", "planned") if s in open_states), "nothing")
    return BoardLine(
        site_key=key,
        site_name=name,
        time_zone=zone,
        group="settled" if settled else "again" if told else "without",
        outcome=_deciding(settled or told),
        state=state,
        told=tuple(told),
        level=level,
    )


def _deciding(told: list[Told]) -> str:
    """Return the outcome that counts: a standing before any visit, else the last."""
    standing = [each for each in told if each.by == "standing"]
    last = (standing or told)[-1:]
    return last[0].outcome if last else ""


def _first_first(line: BoardLine) -> tuple[int, int, str]:
    level = -1 if line.level is None else line.level
    return (GROUPS.index(line.group), -level, line.site_name.casefold())


def shown_lines(board: Board, group: str) -> Iterable[BoardLine]:
    """Return the lines of a group, of all groups where it is empty."""
    return [line for line in board.lines if group in ("", line.group)]

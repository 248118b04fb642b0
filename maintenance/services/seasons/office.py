"""What the office asks: how far each open list is, what blocks it, who touched it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from maintenance.engine.errors import EngineError
from maintenance.engine.site import Site
from maintenance.models import Account, ListStep, SeasonList, ZoneOutcome
from maintenance.services.inventory.queries import sites_of
from maintenance.services.seasons.checked import check_list, checked_lines
from maintenance.services.seasons.kept_list import ListHead, StepLine, WholeList
from maintenance.services.seasons.read_lists import get_list, read_whole


@dataclass(frozen=True, slots=True)
class Touch:
    """Who last did something to a list, and when."""

    who: str
    when: datetime


@dataclass(frozen=True, slots=True)
class OfficeLine:
    """An open list, what stands in its way, and by whom it was last touched."""

    whole: WholeList
    blocked: tuple[str, ...]
    touched: Touch

    @property
    def head(self) -> ListHead:
        """What the list is about."""
        return self.whole.head

    @property
    def skipped(self) -> tuple[StepLine, ...]:
        """The steps that were skipped."""
        return tuple(
            line
            for line in self.whole.steps
            if line.report and line.report.outcome == "skipped"
        )

    @property
    def next(self) -> StepLine | None:
        """The first step without an outcome."""
        return next(iter(self.whole.steps_left), None)


def office_lines(account: Account) -> list[OfficeLine]:
    """Return the open lists, the oldest first, in ten queries at most.

    A list of a retired site is still to be closed: it stands last.
    """
    rows = SeasonList.objects.for_account(account).open().select_related("site")
    lists = read_whole(account, list(rows.order_by("opened_at", "pk")))
    lists.sort(key=lambda whole: whole.head.site_retired)
    keys = {whole.head.site_key for whole in lists if _was_changed(whole)}
    sites = sites_of(account, keys=keys) if keys else {}
    moved = _moved(lists)
    return [
        OfficeLine(
            whole=whole,
            blocked=tuple(_blocked(whole, sites.get(whole.head.site_key))),
            touched=_touched(whole, moved.get(whole.head.id, [])),
        )
        for whole in lists
    ]


def compiled_at(account: Account, *, list_id: int) -> datetime:
    """Return when a list was compiled or last rebuilt, in two queries."""
    row = get_list(account, list_id)
    as_it_is = SeasonList.history.filter(
        id=row.pk, site_version=row.site_version, compressor=row.compressor
    )
    first: datetime | None = (
        as_it_is.order_by("history_date").values_list("history_date", flat=True).first()
    )
    return first or row.opened_at


def breaks_of(site: Site, whole: WholeList) -> tuple[str, ...]:
    """Say which rules a list breaks as it stands, in no query."""
    try:
        checked = check_list(site, whole)
    except EngineError as refusal:
        return (f"It cannot be checked against its site as that is now. {refusal}",)
    lines = checked_lines(whole)
    return tuple(
        f"Step {lines[broken.at_step - 1].number} breaks a rule: {broken.text}"
        for broken in checked.broken
        if broken.at_step
    )


def _was_changed(whole: WholeList) -> bool:
    """Whether a list differs from what its compiler checked."""
    return not whole.head.site_changed and any(
        line.own or line.placed or (line.report and line.report.outcome == "skipped")
        for line in whole.steps
    )


def _blocked(whole: WholeList, site: Site | None) -> Iterable[str]:
    if whole.head.site_retired:
        yield "The site is retired: close the list as it stands."
    elif whole.head.site_changed:
        yield "The site was changed since: look at the difference and rebuild the list."
    if site is not None:
        yield from breaks_of(site, whole)
    for line in whole.steps:
        if line.report and line.report.clock_is_wrong:
            yield (
                f"Step {line.number} was reported from a clock that is ahead: look at "
                "its time."
            )


def _moved(lists: Iterable[WholeList]) -> dict[int, list[Touch]]:
    """Return who changed lists, their zones and their steps; one query."""
    ids = [whole.head.id for whole in lists]
    changes = [
        table.history.filter(list__in=ids, history_type="~")
        for table in (ListStep, ZoneOutcome)
    ]
    of_lists, *of_parts = [
        entries.order_by().values_list(key, "history_date", "actor")
        for key, entries in (
            ("id", SeasonList.history.filter(id__in=ids)),
            *(("list_id", each) for each in changes),
        )
    ]
    found: dict[int, list[Touch]] = {}
    for key, when, who in of_lists.union(*of_parts):
        found.setdefault(key, []).append(Touch(who, when))
    return found


def _touched(whole: WholeList, moved: Iterable[Touch]) -> Touch:
    touches = [Touch(whole.head.opened_by, whole.head.opened_at), *moved]
    for line in whole.all_steps:
        if line.report:
            touches.append(Touch(line.report.who, line.report.received_at))
        touches += [
            Touch(each.undone_by, each.undone_at)
            for each in line.undone
            if each.undone_at is not None
        ]
    return max(touches, key=lambda touch: touch.when)

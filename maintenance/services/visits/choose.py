"""Which visits of all sites are asked for, page by page.

A page follows the last line of the page before it by that line's day and number, and
not by counting: any page costs what the first one costs, however deep it lies.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields, replace
from datetime import date, timedelta
from typing import Any, Final
from urllib.parse import urlencode

from django.db.models import Q, QuerySet

from maintenance.models import Account, Visit
from maintenance.models.air_needs import AIR_NEEDS
from maintenance.models.visits import KINDS, STATES

PAGE: Final = 50
SOON: Final = timedelta(days=7)
DUES: Final = ("overdue", "today", "week", "undated")
FROSTS: Final = ("1", "2", "3", "4")
_LONGEST: Final = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitChoice:
    """What is asked for; an empty text asks nothing.

    ``area`` is a piece of the sites' names: a site file tells no town. ``frost`` is
    the least level of the freeze outlook, ``air`` the compressor that the site needs.
    """

    state: str = "planned"
    kind: str = ""
    worker: str = ""
    area: str = ""
    due: str = ""
    frost: str = ""
    air: str = ""
    after: str = ""

    @property
    def question(self) -> str:
        """The choice as the query of an address, without the place in the list."""
        told = {name: text for name, text in asdict(self).items() if name != "after"}
        if told["state"] == "planned":
            del told["state"]
        return urlencode({name: text for name, text in told.items() if text})

    @property
    def newest_first(self) -> bool:
        """Whether the last day stands first: so for what is over."""
        return self.state != "planned"


def choice_of(asked: Mapping[str, str]) -> VisitChoice:
    """Read a choice from the query of an address; what makes no sense is left out."""
    told = {
        each.name: asked.get(each.name, "").replace("\x00", "").strip()[:_LONGEST]
        for each in fields(VisitChoice)
    }
    known: dict[str, tuple[str, ...]] = {
        "kind": KINDS,
        "due": DUES,
        "frost": FROSTS,
        "air": AIR_NEEDS,
    }
    for name, words in known.items():
        if told[name] not in words:
            told[name] = ""
    told["state"] = told["state"] if told["state"] in (*STATES, "all") else "planned"
    if told["due"]:
        told["state"] = "planned"
    if _cursor(told["after"]) is None:
        told["after"] = ""
    return VisitChoice(**told)


def chosen_visits(
    account: Account, choice: VisitChoice, *, today: date
) -> QuerySet[Visit]:
    """Return all visits that a choice asks for, in its order, wherever it stands."""
    rows = _narrowed(account, choice)
    if choice.state != "all":
        rows = rows.filter(state=choice.state)
    if choice.due == "undated":
        return rows.filter(planned_on=None).order_by("pk")
    rows = rows.filter(planned_on__isnull=False)
    if choice.due == "overdue":
        rows = rows.filter(planned_on__lt=today)
    elif choice.due == "today":
        rows = rows.filter(planned_on=today)
    elif choice.due == "week":
        rows = rows.filter(planned_on__range=(today, today + SOON))
    sign = "-" if choice.newest_first else ""
    return rows.order_by(f"{sign}planned_on", f"{sign}pk")


def behind_place(rows: QuerySet[Visit], choice: VisitChoice) -> list[QuerySet[Visit]]:
    """Return what follows the place of a choice: the rest of its day, then later days.

    Two readings, since each begins in the index right where it must; in one, with
    "or", all of the day before the place would be read and thrown away.
    """
    cursor = _cursor(choice.after)
    if cursor is None:
        return [rows]
    day, pk = cursor
    if choice.due == "undated":
        return [rows.filter(pk__gt=pk)]
    if day is None:
        return [rows]
    same = rows.filter(planned_on=day)
    if choice.newest_first:
        return [same.filter(pk__lt=pk), rows.filter(planned_on__lt=day)]
    return [same.filter(pk__gt=pk), rows.filter(planned_on__gt=day)]


def under_way(account: Account, choice: VisitChoice) -> QuerySet[Visit]:
    """Return what is under way now and fits the rest of a choice."""
    rows = _narrowed(account, choice).filter(state="under_way")
    return rows.order_by("planned_on", "pk")


def next_place(choice: VisitChoice, last: Mapping[str, Any]) -> VisitChoice:
    """Return the choice whose page follows a line."""
    day = last["planned_on"].isoformat() if last["planned_on"] else "-"
    return replace(choice, after=f"{day}.{last['pk']}")


def _narrowed(account: Account, choice: VisitChoice) -> QuerySet[Visit]:
    rows = Visit.objects.for_account(account)
    if choice.kind:
        rows = rows.filter(kind=choice.kind)
    if choice.worker:
        rows = rows.filter(worker=choice.worker)
    for word in choice.area.split():
        rows = rows.filter(site__name__icontains=word)
    if choice.frost:
        rows = rows.filter(site__outlook__level__gte=int(choice.frost))
    if choice.air == "unknown":
        rows = rows.filter(Q(site__air_need=None) | Q(site__air_need__need=choice.air))
    elif choice.air:
        rows = rows.filter(site__air_need__need=choice.air)
    return rows


def _cursor(text: str) -> tuple[date | None, int] | None:
    day, _, number = text.partition(".")
    if not (number.isascii() and number.isdigit() and len(number) <= 18):
        return None
    if day == "-":
        return None, int(number)
    try:
        return date.fromisoformat(day), int(number)
    except ValueError:
        return None

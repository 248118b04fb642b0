"""What the choice of visits offers: who goes, and pieces that sites' names share."""

import re
from collections import Counter
from collections.abc import Iterable
from typing import Final

from django.db.models import Count, Q, Value
from django.db.models.functions import Concat

from maintenance.models import Account, Visit
from maintenance.models.sites import Site

MOST_AREAS: Final = 40
_HOUSE_NUMBER: Final = re.compile(r"^\d+\w?\s+|\s+\d+\w?$")


def workers_and_undated(account: Account) -> tuple[tuple[str, ...], int]:
    """Return who has open visits, and the planned ones without a day; one query."""
    rows = Visit.objects.for_account(account).open()
    # Not the bare column: SQLite would follow its index through all that ever was.
    by_name = rows.values(name=Concat("worker", Value("")))
    bare = Count("pk", filter=Q(state="planned", planned_on=None))
    told = by_name.annotate(undated=bare).order_by("name")
    counts = dict(told.values_list("name", "undated"))
    return tuple(name for name in counts if name), sum(counts.values())


def areas(account: Account) -> tuple[str, ...]:
    """Return the pieces that names of several standing sites share; one query.

    A site file tells no town: streets and towns stand in the names, parted by commas.
    """
    rows = Site.objects.for_account(account).standing()
    return shared_pieces(rows.values_list("name", flat=True))


def shared_pieces(names: Iterable[str]) -> tuple[str, ...]:
    """Return the commonest pieces of at least two names, without house numbers.

    Examples
    --------
    >>> shared_pieces(["8 Quill Lane, Sedge", "Quill Lane 12, Sedge", "Mill, Reed"])
    ('Quill Lane', 'Sedge')
    """
    counts = Counter(
        piece
        for name in names
        for piece in {_HOUSE_NUMBER.sub("", each.strip()) for each in name.split(",")}
    )
    del counts[""]
    most = [(piece, held) for piece, held in counts.most_common(MOST_AREAS) if held > 1]
    return tuple(sorted((piece for piece, _ in most), key=str.lower))

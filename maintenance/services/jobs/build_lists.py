"""One site of the job that makes the season's lists of all sites."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any, Final

from maintenance.engine.errors import EngineError
from maintenance.models import Account, SeasonList
from maintenance.services.jobs.values import SCHEDULE, Piece, Store
from maintenance.services.seasons.compile import compile_list
from maintenance.services.seasons.open_list import open_season_list

SEASONS: Final = ("shutdown", "startup")
"""Of a frost night each list is made when the night is near."""


def prepare_list(
    account: Account, asked: Mapping[str, Any], sites: Sequence[str], now: datetime
) -> Store:
    """Compile the list of one site; it is opened when what is returned is called.

    A site that has a list of that season, open or closed, keeps it. A site whose list
    cannot be made is told in a sentence, and the others go on.
    """
    (key,) = sites
    season, year = asked["season"], asked["year"]
    there = SeasonList.objects.filter(
        site__account=account, site__key=key, season=season, year=year
    )
    if there.exists():
        return lambda: Piece({"there already": 1})
    compiled = compile_list(
        account,
        site_key=key,
        season=season,
        compressor=asked["compressor"] or None,
        now=now,
    )

    def store() -> Piece:
        try:
            open_season_list(
                account,
                site_key=key,
                compiled=compiled,
                year=year,
                now=now,
                actor=asked.get("actor") or SCHEDULE,
            )
        except EngineError as refusal:
            return Piece({"refused": 1}, [f"{key}: {refusal}"])
        return Piece({"made": 1})

    return store

"""The figures that a list used, kept as they were: never worked out again."""

from collections.abc import Mapping
from typing import Any

from maintenance.engine.blowout.report import sheet_as_json
from maintenance.models import Account, ListFigures, SeasonList
from maintenance.models.fields import record_text
from maintenance.services.inventory.rows import Act
from maintenance.services.seasons.compiled import Compiled
from maintenance.services.seasons.read_lists import get_list


def keep_figures(row: SeasonList, compiled: Compiled, act: Act) -> None:
    """Keep a copy of the sheet that a list was compiled with, unless it is the last."""
    sheet = sheet_as_json(compiled.sheet) if compiled.sheet else {}
    last = ListFigures.objects.filter(list=row).order_by("pk").last()
    if last is not None and record_text(last.sheet) == record_text(sheet):
        return
    figures = ListFigures(
        list=row, site_version=compiled.site_version, sheet=sheet, kept_at=act.now
    )
    figures.full_clean()
    figures.save()


def sheet_used(account: Account, *, list_id: int) -> Mapping[str, Any] | None:
    """Return the sheet that a list rests on, as ``blowout --json``; in one query.

    None where none was used: nothing is blown out.
    """
    kept = ListFigures.objects.for_account(account).filter(list=list_id)
    last = kept.order_by("pk").last()
    if last is None:
        # Every list has figures, if only empty ones: so there is no such list.
        get_list(account, list_id)
        return None
    return last.sheet or None

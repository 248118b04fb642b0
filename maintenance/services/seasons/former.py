"""What former lists of a site tell the compilers of the next one."""

from datetime import datetime

from maintenance.engine.procedure.step import Procedure
from maintenance.models import Account, SeasonList
from maintenance.services.seasons.read_lists import read_one


def last_night(account: Account, *, site_key: str) -> Procedure | None:
    """Return what was done on the last frosty night that nothing was put back after.

    Steps that were skipped are left out. In four queries at most.
    """
    last = (
        SeasonList.objects.for_account(account)
        .filter(site__key=site_key, season__in=("frost_night", "frost_undo"))
        .exclude(season="frost_undo", closed_at=None)
        .select_related("site")
        .order_by("opened_at", "pk")
        .last()
    )
    if last is None or last.season != "frost_night":
        return None
    return read_one(account, last).procedure


def last_spring_flows(
    account: Account, *, site_key: str, now: datetime
) -> dict[str, float]:
    """Return the flows that were read at each zone last spring, in four queries.

    Only of the last start-up list that was closed before ``now``.
    """
    last = (
        SeasonList.objects.for_account(account)
        .filter(site__key=site_key, season="startup", closed_at__lt=now)
        .select_related("site")
        .order_by("closed_at", "pk")
        .last()
    )
    if last is None:
        return {}
    return {
        line.step.on: line.report.reading.value
        for line in read_one(account, last).steps
        if line.step.act == "run"
        and line.report
        and line.report.reading.kind == "flow"
        and line.report.reading.value is not None
    }

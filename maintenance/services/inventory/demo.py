"""The demonstration goes away whole, as if it had never been here."""

from typing import Any

from django.db import models, transaction

from maintenance.models import (
    Account,
    Compressor,
    Controller,
    Device,
    Link,
    ListFigures,
    ListStep,
    Point,
    SeasonList,
    Site,
    StepRecord,
    Zone,
    ZoneOutcome,
)


def remove_demo(account: Account) -> tuple[str, ...]:
    """Delete the demonstration's sites and compressors with all their history.

    It is the one thing that is deleted: it is invented, and what a person tries out
    on it is a trial. Returns the ids of what went away.
    """
    with transaction.atomic():
        sites = dict(
            Site.objects.for_account(account).filter(demo=True).values_list("pk", "key")
        )
        compressors = dict(
            Compressor.objects.for_account(account)
            .filter(demo=True)
            .values_list("pk", "key")
        )
        # Each after what points to it.
        _delete(StepRecord, step__list__site_id__in=list(sites))
        _delete(ListStep, list__site_id__in=list(sites))
        _delete(ZoneOutcome, list__site_id__in=list(sites))
        ListFigures.objects.filter(list__site_id__in=list(sites)).delete()
        _delete(SeasonList, site_id__in=list(sites))
        for model in (Device, Controller, Zone, Link, Point):
            _delete(model, site_id__in=list(sites))
        _delete(Site, id__in=list(sites))
        _delete(Compressor, id__in=list(compressors))
    return (*sites.values(), *compressors.values())


def _delete(model: Any, **where: list[int]) -> None:
    rows: models.QuerySet[Any] = model.objects.filter(**where)
    # A plain delete would write one entry of the history for each row that goes.
    rows._raw_delete(rows.db)  # noqa: SLF001
    model.history.filter(**where).delete()

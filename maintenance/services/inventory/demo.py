"""The demonstration goes away whole, as if it had never been here."""

from typing import Any, Final

from django.db import models, transaction

from maintenance.models import (
    Account,
    AssemblyEvent,
    AssemblyFacts,
    AssemblyPhoto,
    Compressor,
    Controller,
    DeliveryTry,
    Device,
    FeedLink,
    Finding,
    ForecastNight,
    ForecastSource,
    Grant,
    KeptDates,
    KeptForecast,
    Link,
    ListFigures,
    ListStep,
    Message,
    Obligation,
    ObservedNight,
    PartAlert,
    Point,
    ReportFiled,
    SeasonList,
    ServiceCall,
    Site,
    SiteAirNeed,
    SiteOutlook,
    SiteSeason,
    SiteWeather,
    StepRecord,
    TestChain,
    TestDraft,
    TestRecord,
    Visit,
    VisitPhoto,
    WeatherStation,
    Zone,
    ZoneOutcome,
)

_RECEIVED: Final[tuple[Any, ...]] = (
    ForecastNight,
    ForecastSource,
    KeptDates,
    KeptForecast,
    ObservedNight,
    PartAlert,
    SiteAirNeed,
    SiteOutlook,
)
"""What comes in or is worked out for a site; it has no history."""


def remove_demo(account: Account) -> tuple[str, ...]:
    """Delete the demonstration's sites, compressors and stations with their history.

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
        _delete_assemblies(account, list(sites))
        _delete(StepRecord, step__list__site_id__in=list(sites))
        _delete(ListStep, list__site_id__in=list(sites))
        _delete(ZoneOutcome, list__site_id__in=list(sites))
        ListFigures.objects.filter(list__site_id__in=list(sites)).delete()
        _delete_visits(list(sites))
        _delete_reminders(list(sites))
        _delete(SeasonList, site_id__in=list(sites))
        for received in _RECEIVED:
            received.objects.filter(site_id__in=list(sites)).delete()
        for model in (SiteWeather, Device, Controller, Zone, Link, Point):
            _delete(model, site_id__in=list(sites))
        _delete(Grant, site_id__in=list(sites))
        _delete(Site, id__in=list(sites))
        # One that goes along to a person's own site stays, and is theirs from now on.
        used = Visit.objects.filter(compressor__in=list(compressors))
        for pk in set(used.values_list("compressor_id", flat=True)):
            Compressor.objects.filter(pk=pk).update(demo=False)
            del compressors[pk]
        if compressors:  # what was worked out with them, for a person's sites too
            SiteAirNeed.objects.filter(site__account=account).delete()
        _delete(Compressor, id__in=list(compressors))
        stations = WeatherStation.objects.for_account(account).filter(demo=True)
        # One that a person's own site uses stays, and is theirs from now on.
        stations.filter(sites__isnull=False).update(demo=False)
        gone = dict(stations.values_list("pk", "key"))
        # Dates that one of them gave to a site which has another station by now.
        KeptDates.objects.filter(station__in=list(gone)).delete()
        _delete(WeatherStation, id__in=list(gone))
    return (*sites.values(), *compressors.values(), *gone.values())


def _delete_assemblies(account: Account, sites: list[int]) -> None:
    """Delete what is known of the assemblies; their tests have a chain of their own."""
    _delete(ReportFiled, record__device__site_id__in=sites)
    _delete(TestDraft, device__site_id__in=sites)
    records = TestRecord.objects.for_account(account).filter(demo=True)
    records._raw_delete(records.db)  # noqa: SLF001
    TestChain.objects.for_account(account).filter(demo=True).delete()
    for model in (AssemblyPhoto, AssemblyEvent, AssemblyFacts):
        _delete(model, device__site_id__in=sites)


def _delete_visits(sites: list[int]) -> None:
    """Delete calls, visits and findings."""
    _delete(VisitPhoto, visit__site_id__in=sites)
    for model in (Finding, Visit, ServiceCall, SiteSeason):
        _delete(model, site_id__in=sites)


def _delete(model: Any, **where: list[int]) -> None:
    rows: models.QuerySet[Any] = model.objects.filter(**where)
    # A plain delete would write one entry of the history for each row that goes.
    rows._raw_delete(rows.db)  # noqa: SLF001
    model.history.filter(**where).delete()


def _delete_reminders(sites: list[int]) -> None:
    """Delete what was due there, and what was sent about it."""
    DeliveryTry.objects.filter(message__obligation__site_id__in=sites).delete()
    Message.objects.filter(obligation__site_id__in=sites).delete()
    _delete(Obligation, site_id__in=sites)
    FeedLink.objects.filter(site_id__in=sites).delete()

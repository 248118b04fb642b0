"""What was observed later: by a thermometer at the site, or at its station."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from math import isfinite
from typing import Final

from django.db import transaction

from maintenance.engine.climate.forecast_errors import NightPair
from maintenance.engine.climate.series import DailySeries
from maintenance.models import Account, ForecastNight, ObservedNight, Site
from maintenance.services.errors import ServiceError
from maintenance.services.inventory.claims import get_row
from maintenance.services.weather.site_time import today_at

COLDEST_K: Final = 205.0
WARMEST_K: Final = 330.0
"""Air outside these was never measured on Earth [K]; World Meteorological
Organization, extremes archive (184.0 and 329.9 K), the cold end raised to where nobody
irrigates."""

LEARNT_FROM: Final = timedelta(days=1100)
"""Three winters of nights are learnt from; older forecasts were made otherwise."""


@transaction.atomic
def observe_night(
    account: Account,
    *,
    site_key: str,
    day: date,
    minimum_k: float,
    now: datetime,
    actor: str,
) -> None:
    """Keep the lowest air of a day that a thermometer at the site showed.

    Given again for the same day, the later report counts.

    Raises
    ------
    NotFoundError
        If there is no such site.
    ServiceError
        If the day has not come yet, or no air is that cold or warm.
    """
    site = get_row(Site, account, site_key)
    if day > today_at(site, now):
        raise ServiceError(
            f"{day:%-d %b %Y} has not come yet: write a day until today."
        )
    if not (isfinite(minimum_k) and COLDEST_K <= minimum_k <= WARMEST_K):
        raise ServiceError(
            "No air was ever that cold or warm where people water: read the "
            "thermometer again, and look at the unit."
        )
    _keep(
        [
            ObservedNight(
                site=site,
                day=day,
                minimum_k=minimum_k,
                seen_at="site",
                reported_by=actor,
            )
        ]
    )


@transaction.atomic
def observe_from_station(sites: Sequence[Site], series: DailySeries) -> int:
    """Keep what a station saw on days that were forecast for its sites, as it saw it.

    The site's offset is added when it is looked at: a person may state another.

    Returns
    -------
    int
        Nights kept.
    """
    span = (series.first, series.last)
    nights = ForecastNight.objects.filter(site__in=sites, day__range=span)
    rows = [
        ObservedNight(
            site_id=pk,
            day=day,
            minimum_k=float(series.tmin_k[series.index(day)]),
            seen_at="station",
        )
        for pk, day in nights.values_list("site_id", "day").distinct()
    ]
    rows = [row for row in rows if isfinite(row.minimum_k)]
    _keep(rows)
    return len(rows)


def night_pairs(
    offsets_k: Mapping[int, float], *, until: date
) -> dict[int, list[NightPair]]:
    """Return forecast beside observed minima of sites, in two queries.

    Parameters
    ----------
    offsets_k : mapping of int and float
        The sites, and what each differs from its station [K].
    until : date
        The last day that counts.

    Returns
    -------
    dict of int and list of NightPair
        Where both saw a day, the thermometer at the site counts and not the station.
    """
    span = (until - LEARNT_FROM, until)
    observed: dict[tuple[int, date], float] = {}
    rows = ObservedNight.objects.filter(site__in=list(offsets_k), day__range=span)
    for pk, day, minimum_k, seen_at in rows.values_list(
        "site_id", "day", "minimum_k", "seen_at"
    ):
        if seen_at == "site":
            observed[pk, day] = minimum_k
        else:
            observed.setdefault((pk, day), minimum_k + offsets_k[pk])
    pairs: dict[int, list[NightPair]] = {pk: [] for pk in offsets_k}
    nights = ForecastNight.objects.filter(site__in=list(offsets_k), day__range=span)
    for pk, day, lead, minimum_k in nights.values_list(
        "site_id", "day", "lead", "minimum_k"
    ):
        if (pk, day) in observed:
            pairs[pk].append(NightPair(lead, minimum_k, observed[pk, day]))
    return pairs


def _keep(rows: Sequence[ObservedNight]) -> None:
    ObservedNight.objects.bulk_create(
        rows,
        update_conflicts=True,
        unique_fields=["site", "day", "seen_at"],
        update_fields=["minimum_k", "reported_by"],
    )

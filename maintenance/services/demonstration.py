"""The demonstration comes in whole and goes away whole.

Its files are read by a face, which hands the values in: services read no files.
"""

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction

from maintenance.engine.climate.forecast import Forecast
from maintenance.engine.climate.series import Record
from maintenance.engine.site import Compressor, Site
from maintenance.models import Account
from maintenance.services.backflow import demonstration as register
from maintenance.services.backflow.photos import forget_files
from maintenance.services.inventory.store import (
    remove_demo,
    store_compressor,
    store_site,
)
from maintenance.services.visits.demonstration import put_visits
from maintenance.services.visits.photos import demo_photo_files
from maintenance.services.weather.demonstration import (
    MAIN,
    put_station,
    renew_forecasts,
)

ACTOR = "demonstration"


@transaction.atomic
def load_demonstration(
    account: Account,
    *,
    sites: Iterable[Site],
    compressors: Iterable[Compressor],
    now: datetime,
    record: Record | None = None,
    forecast: Forecast | None = None,
) -> tuple[str, ...]:
    """Put the demonstration in, all of it or nothing; return the ids that changed.

    Loaded twice, it changes nothing the second time; only a forecast of its own that
    is over is given anew.

    Parameters
    ----------
    account : Account
        Whose demonstration it is.
    sites, compressors : iterable of Site and of Compressor
        All that it has.
    now : datetime
        When this happens; the forecast begins at this hour.
    record : Record, optional
        Of the station that stands for its main site and some more; it names it.
    forecast : Forecast, optional
        For the main site; its dates do not matter. Some more get it, milder.

    Raises
    ------
    ConflictError
        If a person keeps something of their own under one of its ids.
    """
    changed = []
    for compressor in compressors:
        kept = store_compressor(
            compressor, account=account, now=now, actor=ACTOR, demo=True
        )
        if kept.changed:
            changed.append(kept.key)
    for site in sites:
        stored = store_site(site, account=account, now=now, actor=ACTOR, demo=True)
        if stored.changed or stored.retired:
            changed.append(stored.key)
    if record is not None:
        changed += put_station(account, record=record, now=now, actor=ACTOR)
    if forecast is not None:
        renew_forecasts(account, forecast=forecast, now=now)
    register.put_register(account, site_key=MAIN, now=now, actor=ACTOR)
    put_visits(account, now=now, actor=ACTOR)
    return tuple(changed)


def remove_demonstration(account: Account) -> tuple[str, ...]:
    """Take the demonstration out with its history; return the ids that went."""
    files = [*demo_photo_files(account), *register.demo_photo_files(account)]
    gone = remove_demo(account)
    register.remove_kit(account, actor=ACTOR)
    forget_files(files)
    return gone

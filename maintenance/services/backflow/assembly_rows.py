"""Assemblies are found for their account, and held while something is written."""

from datetime import date, datetime
from typing import Final

from django.db.models import Exists, F, OuterRef

from maintenance.engine.calendar.local_time import local_date, zone_named
from maintenance.engine.errors import InputError
from maintenance.models import Account, AssemblyFacts, Device, Site
from maintenance.models.devices import DeviceQuerySet
from maintenance.services.errors import NotFoundError

FIRST_DAY: Final = date(1900, 1, 1)
"""An earlier day is a slip of the pen."""


def assemblies(account: Account) -> DeviceQuerySet:
    """Return all assemblies with site, link and facts, in the order of the file.

    ``follows_another`` tells whether one stood at the same link before.
    """
    earlier = Device.objects.filter(link=OuterRef("link"), since__lt=OuterRef("since"))
    return (
        Device.objects.for_account(account)
        .select_related("site", "link", "facts")
        .annotate(follows_another=Exists(earlier))
        .order_by("site__name", "site__key", "link__rank", "since", "pk")
    )


def get_assembly(
    account: Account, *, site_key: str, link: str, device_id: int | None = None
) -> Device:
    """Return one assembly, in one query: that which stands there, else the last."""
    here = assemblies(account).filter(site__key=site_key, link__key=link)
    if device_id is not None:
        here = here.filter(pk=device_id)
    found = list(here)
    if not found:
        raise NotFoundError(
            f'There is no backflow assembly "{link}" here: see the register of its '
            "site."
        )
    return next((each for each in found if each.until is None), found[-1])


def hold_assembly(account: Account, device_id: int) -> Device:
    """Hold an assembly for this transaction, or refuse."""
    held = Device.objects.for_account(account).filter(pk=device_id)
    if held.update(kind=F("kind")) != 1:
        raise NotFoundError(
            "There is no such backflow assembly here: see the register."
        )
    return Device.objects.select_related("site", "link").get(pk=device_id)


def facts_row(device: Device) -> AssemblyFacts | None:
    """Return what is stated of an assembly, None where nothing is."""
    return getattr(device, "facts", None)


def zone_at(site: Site) -> str:
    """Return the time zone of a site; one that is not known here counts as UTC."""
    try:
        zone_named(site.time_zone)
    except InputError:
        return "UTC"
    return site.time_zone


def day_at(site: Site, instant: datetime) -> date:
    """Return the date that the calendar at a site shows."""
    return local_date(instant, zone_at(site))

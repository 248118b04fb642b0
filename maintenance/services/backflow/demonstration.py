"""What the demonstration states of its assembly, with one invented tester and gauge."""

from datetime import datetime, timedelta
from typing import Any, Final

from maintenance.models import (
    Account,
    AssemblyFacts,
    AssemblyPhoto,
    Device,
    Gauge,
    TestDraft,
    Tester,
)
from maintenance.services.backflow.facts import StatedFacts, store_facts
from maintenance.services.backflow.kit import (
    StatedGauge,
    StatedTester,
    store_gauge,
    store_tester,
)

TESTER: Final = "Rosalind Quickwater (invented)"
GAUGE: Final = "G-0000 (invented)"
FACTS: Final = StatedFacts(
    hazard="high",
    protects="all zones of the estate",
    own_rule="yearly",
    make="Fivegate (invented)",
    model="F-2",
    position="left of the garage door, in the open",
    height_m=0.4,
    safe_from_flooding=True,
    kept_from_freezing=False,
    residential=True,
    chemicals=False,
    months_used=6,
)
"""No place is chosen, for only a person knows it: a plain rule stands in its stead."""


def put_register(account: Account, *, site_key: str, now: datetime, actor: str) -> None:
    """State the facts, add tester and gauge; what is there already stays as it is."""
    device = (
        Device.objects.for_account(account)
        .standing()
        .filter(site__key=site_key, site__demo=True)
        .first()
    )
    if device is None:
        return
    if not AssemblyFacts.objects.filter(device=device).exists():
        store_facts(
            account,
            device_id=device.pk,
            stated=FACTS,
            version=0,
            now=now,
            actor=actor,
        )
    today = now.date()
    if not Tester.objects.for_account(account).filter(name=TESTER).exists():
        told = StatedTester(
            name=TESTER,
            certificate="invented",
            issued=today - timedelta(days=400),
            ends=today + timedelta(days=330),
        )
        store_tester(account, stated=told, now=now, actor=actor)
    if not Gauge.objects.for_account(account).filter(serial=GAUGE).exists():
        lent = StatedGauge(
            serial=GAUGE,
            make="Fivegate (invented)",
            calibrated=today - timedelta(days=100),
            ends=today + timedelta(days=265),
        )
        store_gauge(account, stated=lent, now=now, actor=actor)


def demo_photo_files(account: Account) -> list[str]:
    """Return the files of photos that go away with the demonstration, in one query."""
    photos = AssemblyPhoto.objects.filter(
        device__site__account=account, device__site__demo=True
    )
    return list(photos.values_list("file_name", flat=True))


def remove_kit(account: Account, *, actor: str) -> None:
    """Take tester and gauge out, unless a person changed them or works with them."""
    for model, column in ((Tester, "tester"), (Gauge, "gauge")):
        invented: Any = {Tester: {"name": TESTER}, Gauge: {"serial": GAUGE}}[model]
        for row in model.objects.for_account(account).filter(**invented):
            told = set(row.history.values_list("actor", flat=True))
            used = TestDraft.objects.filter(**{column: row}).exists()
            if told == {actor} and not used:
                history = model.history.filter(id=row.pk)
                same = model.objects.filter(pk=row.pk)
                same._raw_delete(same.db)  # noqa: SLF001  (its own entry would stay)
                history.delete()

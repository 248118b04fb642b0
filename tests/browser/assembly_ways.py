"""Ways to the pages on backflow assemblies, with something on each of them."""

from collections.abc import Callable
from datetime import UTC, date, datetime
from io import BytesIO

from playwright.sync_api import Page, expect

from maintenance.engine.backflow.due.rule import RuleRef
from maintenance.models import Device
from maintenance.services.accounts import local_account
from maintenance.services.backflow.events import Happened, record_event
from maintenance.services.backflow.facts import StatedFacts, store_facts
from maintenance.services.backflow.kit import (
    StatedGauge,
    StatedTester,
    store_gauge,
    store_tester,
)
from maintenance.services.backflow.own_rules import supersede_rule
from maintenance.services.backflow.photos import add_photo
from tests.services.backflow.test_photos import picture

Way = Callable[[Page, str], object]
NOW = datetime(2026, 11, 20, 19, 0, tzinfo=UTC)
CELLS = {
    "place": "willows",
    "place_name": "Willows, Colorado (water district)",
    "trigger": "anniversary",
    "period": "6 months",
    "source": "letter of the district",
    "checked": "2026-11-19",
}


def fill() -> int:
    """Put something on every page; return the number of Larkmoor's assembly."""
    account = local_account()
    told = (("larkmoor", "washington"), ("crook-lane-22", "willows"))
    for site, place in (*told, ("bramblegate-8", "framingham")):
        row = Device.objects.get(site__key=site, until=None)
        store_facts(
            account,
            device_id=row.pk,
            stated=StatedFacts(place=place, hazard="high", protects="the lawns"),
            version=row.facts.version if hasattr(row, "facts") else 0,
            now=NOW,
            actor="Ann",
        )
    row = Device.objects.get(site__key="larkmoor", until=None)
    how = {"now": NOW, "actor": "Ann"}
    out = Happened(kind="removed", on=date(2026, 10, 14), stored_at="shed, with Ann")
    record_event(account, device_id=row.pk, told=out, now=NOW, actor="Ann")
    add_photo(
        account,
        device_id=row.pk,
        picture=BytesIO(picture(size=(400, 300))),
        caption="winter position",
        now=NOW,
        actor="Ann",
    )
    ada = StatedTester(name="Ada Finch", certificate="BT-1207", ends=date(2026, 9, 1))
    store_tester(account, stated=ada, now=NOW, actor="Ann")
    store_gauge(account, stated=StatedGauge(serial="G-552"), now=NOW, actor="Ann")
    supersede_rule(
        account,
        ref=RuleRef("willows-yearly", 1),
        cells=CELLS,
        **how,  # type: ignore[arg-type]
    )
    return row.pk


def _filled(address: str, heading: str, *, open_doors: bool = False) -> Way:
    def go(page: Page, office: str) -> None:
        device_id = fill()
        page.goto(f"{office}{address.format(device_id=device_id)}")
        expect(page.get_by_role("heading", level=1)).to_contain_text(heading)
        if open_doors:
            for door in page.locator("main details").all():
                door.evaluate("each => each.open = true")

    return go


_ONE = "/sites/larkmoor/assemblies/B1/{device_id}/"
ASSEMBLY_WAYS: dict[str, Way] = {
    "what is due": _filled("/backflow/", "What is due", open_doors=True),
    "register": _filled("/backflow/register/", "Register"),
    "assembly": _filled(_ONE, "LG-0417", open_doors=True),
    "facts": _filled(f"{_ONE}facts/", "Facts of B1"),
    "what happened": _filled(f"{_ONE}tell/", "What happened to B1"),
    "photo": _filled(f"{_ONE}photos/add/", "A photo of B1"),
    "if removed": _filled(f"{_ONE}if-removed/", "taken out for winter"),
    "rules": _filled("/backflow/rules/", "Rules"),
    "rule": _filled("/backflow/rules/own-willows-yearly/1/", "every 6 months"),
    "new rule": _filled("/backflow/rules/new/", "A rule of your own"),
    "testers": _filled("/backflow/testers/", "Testers"),
    "gauges": _filled("/backflow/gauges/", "Gauges"),
    "new gauge": _filled("/backflow/gauges/new/", "A new gauge"),
}

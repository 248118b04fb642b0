"""A site with an assembly of each kind, and tests of them as a person types them."""

from datetime import UTC, date, datetime
from typing import Any

from maintenance.models import Account, Device, Gauge, Tester, TestRecord
from maintenance.services.backflow.drafts import (
    Typed,
    begin_test,
    get_draft,
    save_draft,
)
from maintenance.services.backflow.filing import record_filed
from maintenance.services.backflow.sign import sign_test
from maintenance.services.inventory.rows import Act, add_rows
from maintenance.services.inventory.store import store_site
from tests.services.inventory.files import read

SITE = "orchard-row"
SET_UP = datetime(2026, 3, 2, 15, 0, tzinfo=UTC)
MORNING = datetime(2026, 4, 15, 14, 20, tzinfo=UTC)  # 08:20 at the site
LATER = datetime(2026, 4, 16, 15, 0, tzinfo=UTC)
KINDS = {"B1": "RP", "B2": "DC", "B3": "PVB", "B4": "SVB", "B5": "AVB", "B6": "AG"}

GOOD = {
    "RP": {
        "check_1": "7.2",
        "relief": "3.1",
        "check_2": "1.8",
        "check_2_held": "yes",
        "relief_air_gap": "yes",
    },
    "DC": {"check_1": "1.6", "check_2": "1.4"},
    "PVB": {"air_inlet": "1.0", "check_1": "1.0"},
    "SVB": {"check_1": "1.6", "air_inlet": "1.2", "fully_open": "yes"},
    "AVB": {"properly_installed": "yes", "operating_properly": "yes"},
    "AG": {"supply_diameter": "3/4 in", "gap": "1.5 in"},
}


def keep_tests(account: Account, site: str, link: str, word: str) -> dict[str, int]:
    """Keep a signed test whose report was handed in, and a draft; return their ids."""
    tester = Tester(account=account, name=f"{word} tester {site}", certificate="C-1")
    gauge = Gauge(account=account, serial=f"{word} gauge {site}")
    add_rows(Tester, [tester], Act("office", SET_UP))
    add_rows(Gauge, [gauge], Act("office", SET_UP))
    actor = f"{word} tester"

    def begin(now: datetime) -> int:
        return begin_test(account, site_key=site, link=link, now=now, actor=actor)

    draft_id = begin(MORNING)
    told = {**readings("PVB"), "tested_on": "2026-04-15", "comments": word}
    version = save_draft(
        account,
        draft_id=draft_id,
        version=1,
        typed=Typed(told, tester.pk, gauge.pk),
        now=MORNING,
        actor=actor,
    )
    record = sign_test(
        account, draft_id=draft_id, version=version, now=MORNING, actor=actor
    )
    filed_id = record_filed(
        account,
        record_id=record.pk,
        filed_on=date(2026, 4, 16),
        to=f"{word} office",
        now=LATER,
        actor=actor,
    )
    return {
        "draft_id": begin(LATER),
        "record_id": record.pk,
        "filed_id": filed_id,
        "tester": tester.pk,
        "gauge": gauge.pk,
    }


def site_file(key: str = SITE, **changed: Any) -> dict[str, Any]:
    points = [{"id": "S", "kind": "supply", "source": "public", "elevation": "0 ft"}]
    points += [
        {"id": f"J{n}", "kind": "junction", "elevation": "0 ft"} for n in range(1, 7)
    ]
    links = [
        {
            "id": link,
            "kind": "backflow",
            "from": "S",
            "to": f"J{link[1]}",
            "device": kind,
            "size": "1",
            "serial": f"OR-10{link[1]}",
            "installed": "2021-05-03",
        }
        for link, kind in KINDS.items()
    ]
    return {
        "format": "irrigation-site/1",
        "id": key,
        "name": "Orchard Row",
        "place": {"elevation": "1500 m", "time_zone": "America/Denver"},
        "points": points,
        "links": links,
    } | changed


def keep_site(account: Account, key: str = SITE, *, demo: bool = False) -> None:
    store_site(read(site_file(key)), account=account, now=SET_UP, demo=demo)


def keep_kit(account: Account) -> tuple[Tester, Gauge]:
    tester = Tester(
        account=account,
        name="Ada Finch",
        certificate="BT-1207",
        issued=date(2024, 5, 1),
        ends=date(2027, 4, 30),
        licence="PL-88",
    )
    gauge = Gauge(
        account=account,
        serial="G-552",
        make="Fivegate",
        calibrated=date(2025, 9, 1),
        ends=date(2026, 8, 31),
    )
    add_rows(Tester, [tester], Act("office", SET_UP))
    add_rows(Gauge, [gauge], Act("office", SET_UP))
    return tester, gauge


def readings(kind: str, name: str = "initial", **changed: str) -> dict[str, str]:
    """Answers that pass, but for what is changed; an empty text takes one out."""
    taken = GOOD[kind] | changed
    answers = {f"{name}_{key}": text for key, text in taken.items() if text}
    if kind in ("RP", "DC", "PVB", "SVB"):
        holds = "shut_off_2_holds" if name == "initial" else "final_shut_off_2_holds"
        answers |= {"supply_pressure": "62", holds: "yes"}
    return answers


def begun(account: Account, link: str = "B1", now: datetime = MORNING) -> int:
    return begin_test(account, site_key=SITE, link=link, now=now, actor="Ada")


def typed(account: Account, draft_id: int, answers: dict[str, str]) -> int:
    """Save answers beside those there are; return the version."""
    draft = get_draft(account, draft_id)
    return save_draft(
        account,
        draft_id=draft_id,
        version=draft.version,
        typed=Typed({**draft.answers, **answers}, draft.tester_id, draft.gauge_id),
        now=MORNING,
        actor="Ada",
    )


def signed(
    account: Account,
    link: str = "B1",
    answers: dict[str, str] | None = None,
    *,
    now: datetime = MORNING,
    draft_id: int | None = None,
    **more: Any,
) -> TestRecord:
    """Sign a test: one that passes where nothing else is told."""
    draft_id = draft_id or begun(account, link, now)
    kind = Device.objects.get(test_drafts=draft_id).kind
    name = "final" if get_draft(account, draft_id).follows_id else "initial"
    told = readings(kind, name) if answers is None else answers
    version = typed(account, draft_id, told)
    return sign_test(
        account, draft_id=draft_id, version=version, now=now, actor="Ada", **more
    )

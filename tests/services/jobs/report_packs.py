"""Sites with signed tests, and a printer that makes a text of each and counts them."""

from datetime import datetime
from typing import Any

from maintenance.models import Account, Job
from maintenance.services.jobs.ask import UNFINISHED, ask_for_job
from maintenance.services.jobs.print_reports import printer
from maintenance.services.jobs.values import PACK
from maintenance.services.jobs.work import work_on_next
from tests.services.backflow.field_tests import keep_kit, keep_site, signed
from tests.services.jobs.many_sites import LEASE, NOW, keep_sites

PERIOD = {"first": "2026-01-01", "last": "2026-12-31", "paper": "A4"}


class Press:
    """Prints reports as plain texts; ``stops`` tells what to raise at which serial."""

    def __init__(self, **stops: BaseException) -> None:
        self.printed: list[str] = []
        self.stops = {name.replace("_", "-"): each for name, each in stops.items()}

    def __call__(self, payload: Any, order: Any, hash_: str, paper: str) -> bytes:
        serial: str = payload["assembly"]["serial"]
        if stop := self.stops.get(serial):
            raise stop
        self.printed.append(serial)
        assert "serial" in order
        return f"%PDF {serial} {payload['site']['name']} {paper} {hash_}".encode()


def keep_tested(account: Account, *links: str) -> None:
    """Keep a site with signed tests, and another without any."""
    keep_site(account)
    keep_kit(account)
    for link in links:
        signed(account, link)
    keep_sites(account, 1)


def ask(account: Account, *, now: datetime = NOW, **changed: str) -> int:
    return ask_for_job(
        account, kind=PACK, asked=PERIOD | changed, now=now, actor="Robin"
    )


def work(press: Press | None = None) -> bool:
    doers = {PACK: printer(render=press or Press())}
    return work_on_next(doers, lease=LEASE, now=NOW)


def make_pack(
    account: Account,
    press: Press | None = None,
    *,
    now: datetime = NOW,
    **changed: str,
) -> Job:
    """Ask for a pack and have all its pieces done; no job was asked for before."""
    number = ask(account, now=now, **changed)
    while (job := Job.objects.get(pk=number)).state in UNFINISHED:
        assert work(press)
    return job

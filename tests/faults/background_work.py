"""Processes of the fault tests: what they do stands in their first word."""

import json
import os
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import django

django.setup()

from django.db import connection, transaction  # noqa: E402
from django.test import Client  # noqa: E402
from django.utils import timezone  # noqa: E402

from maintenance.models import Compressor, SeasonList, Site  # noqa: E402
from maintenance.services.accounts import local_account  # noqa: E402
from maintenance.services.inventory.store import store_compressor  # noqa: E402
from maintenance.services.jobs.queries import jobs  # noqa: E402
from maintenance.services.jobs.values import Piece  # noqa: E402
from maintenance.services.jobs.work import work_on_next  # noqa: E402
from tests.services.inventory.files import example, read_machine  # noqa: E402
from tests.services.jobs.many_sites import (  # noqa: E402
    LEASE,
    asked_for,
    keep_sites,
)


def keep(count: str) -> None:
    """Keep some sites and ask for their lists."""
    account = local_account()
    keep_sites(account, int(count))
    asked_for(account)


def ask() -> None:
    asked_for(local_account())


def report() -> dict[str, Any]:
    line = jobs(local_account())[-1]
    lists: dict[str, int] = {}
    for key in SeasonList.objects.values_list("site__key", flat=True):
        lists[key] = lists.get(key, 0) + 1
    versions = dict(Site.objects.values_list("key", "version"))
    return {
        "state": line.state,
        "done": line.done,
        "counts": dict(line.counts),
        "said": list(line.said),
        "lists": lists,
        "marks": {key: version - 1 for key, version in versions.items()},
    }


def work_carelessly() -> None:
    """The control: the effect of a piece is kept before, and not with, its count."""

    def mark(_account: Any, _asked: Any, sites: Any, _now: Any) -> Callable[[], Piece]:
        for row in Site.objects.filter(key__in=sites):
            Site.objects.filter(pk=row.pk).update(version=row.version + 1)
        time.sleep(0.1)
        return lambda: Piece({"marked": 1})

    doers = {"build_lists": mark}
    while jobs(local_account())[-1].unfinished:
        if not work_on_next(doers, lease=LEASE / 60, now=timezone.now()):
            time.sleep(0.1)


def write(log: str, *, early: bool = False) -> None:
    """Store machines without end; each is told to the log once it is stored."""
    account, told = local_account(), os.open(log, os.O_WRONLY | os.O_APPEND)
    number = 0
    while True:
        number += 1
        key = f"m-{os.getpid()}-{number}"
        machine = read_machine(example("compressor-25") | {"id": key})
        with transaction.atomic():
            store_compressor(machine, account=account, now=timezone.now())
            if early:
                os.write(told, f"{key}\n".encode())
                time.sleep(0.01)
        if not early:
            os.write(told, f"{key}\n".encode())
        time.sleep(0.005)  # SQLite has no queue: one that never rests starves others


def write_early(log: str) -> None:
    """The control: a machine is told before its transaction has ended."""
    write(log, early=True)


def keys() -> list[str]:
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA integrity_check")
        assert cursor.fetchone() == ("ok",)
    return list(Compressor.objects.values_list("key", flat=True))


def browse(writers: str, readers: str, seconds: str) -> dict[str, Any]:
    """Write and read by the pages from many threads; count what was answered."""
    until, lock = time.monotonic() + float(seconds), threading.Lock()
    answers: dict[str, int] = {}
    slowest: list[float] = []

    def go_on(step: Callable[[Client, int], int]) -> None:
        client = Client(SERVER_NAME="localhost", raise_request_exception=False)
        number = 0
        while time.monotonic() < until:
            number += 1
            begun = time.monotonic()
            status = str(step(client, number))
            with lock:
                answers[status] = answers.get(status, 0) + 1
                slowest.append(time.monotonic() - begun)
        connection.close()

    def write_page(client: Client, number: int) -> int:
        key = f"m-{threading.get_ident()}"
        machine = example("compressor-25") | {"id": key, "label": f"No. {number}"}
        return client.post("/import/", {"text": json.dumps(machine)}).status_code

    def read_page(client: Client, number: int) -> int:
        address = ("/", "/compressors/", "/seasons/")[number % 3]
        return client.get(address).status_code

    steps = [write_page] * int(writers) + [read_page] * int(readers)
    threads = [threading.Thread(target=go_on, args=[step]) for step in steps]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    slowest.sort()
    log = Path(os.environ["IRRIGATION_DATA"]) / "faults.log"
    locked = log.read_text().count("database is locked") if log.exists() else 0
    return {
        "answers": answers,
        "locked": locked,
        "p95_s": round(slowest[int(0.95 * len(slowest))], 3),
    }


if __name__ == "__main__":
    import logging

    path = Path(os.environ["IRRIGATION_DATA"]) / "faults.log"
    logging.basicConfig(filename=path, level=logging.ERROR)
    logging.getLogger("django.request").addHandler(logging.FileHandler(path))
    arms: dict[str, Callable[..., Any]] = {
        each.__name__: each
        for each in (
            *(keep, ask, report, work_carelessly),
            *(write, write_early, keys, browse),
        )
    }
    told = arms[sys.argv[1]](*sys.argv[2:])
    if told is not None:
        print(json.dumps(told))

"""The form of a paper as a browser would send it."""

import re
from typing import Any

from django.test import Client

from maintenance.models import StepRecord, ZoneOutcome
from maintenance.services.accounts import local_account
from tests.services.seasons.lists import ids

HEAD = {"who": "Ben", "day": "2026-10-14", "clock": "15:30"}


def address(list_id: int, key: str = "example-lateral") -> str:
    return f"/sites/{key}/lists/{list_id}/paper/"


def blank(office: Client, list_id: int) -> dict[str, str]:
    """Return what a browser would send of the form as it is handed out."""
    body = office.get(address(list_id)).content.decode()
    names = re.findall(r'<(?:select|input)[^>]* name="([^"]+)"', body)
    values = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', body))
    ticks = {"rest", "system", "next", "csrfmiddlewaretoken"}
    return {name: values.get(name, "") for name in names if name not in ticks}


def filled(office: Client, list_id: int, **told: Any) -> dict[str, str]:
    """Return the form with steps by key and zones by place filled in."""
    data = blank(office, list_id) | HEAD
    numbers = ids(local_account(), list_id)
    for key, answers in told.items():
        if key.startswith("zone"):
            data[f"zone-{key[4:]}"], data[f"zone-{key[4:]}-note"] = answers
            continue
        for name, value in answers.items():
            data[f"{name}-{numbers[key]}"] = value
    return data


ALL = {
    "first": {"outcome": "done"},
    "second": {"outcome": "skipped", "note": "rusted fast"},
    "blow": {"outcome": "done", "reading": "44", "seconds": "2:34", "note": "grit"},
    "zone0": ("done", ""),
    "zone1": ("partly", "head 3 stuck"),
}


def stored() -> tuple[int, int]:
    told = ZoneOutcome.objects.exclude(outcome="")
    return StepRecord.objects.count(), told.count()

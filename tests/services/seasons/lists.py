"""Season lists of the tests, compiled by hand for a small site."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import count

from maintenance.engine.procedure.step import Change, Procedure, StaysOpen, Step
from maintenance.services.inventory.queries import site_version
from maintenance.services.inventory.store import store_site
from maintenance.services.seasons.carry_out import Tick, record_steps
from maintenance.services.seasons.compiled import Compiled
from maintenance.services.seasons.open_list import open_season_list
from maintenance.services.seasons.queries import season_list
from maintenance.services.seasons.zone_ends import set_zone_outcome
from tests.services.inventory.files import SPRING, read, rich_file

SITE = "example-lateral"
MORNING = datetime(2026, 10, 14, 14, 0, tzinfo=UTC)
NOON = MORNING + timedelta(hours=4)
EVENING = MORNING + timedelta(hours=9)
START = {"B1/shutoff_1": "open", "B1/shutoff_2": "open", "ZV1": "closed"}
_numbers = count(1)


def step(key, element="", position="", **fields):
    """Return a step; with an element it brings that to a position."""
    usual = {
        "act": "close" if position == "closed" else "open",
        "on": element or key,
        "to": position,
        "text": f"Do {key}.",
        "changes": (Change(element, position),) if element else (),
    }
    return Step(key=key, **(usual | fields))


FIRST = step("first", "B1/shutoff_1", "closed", text="Close shut-off 1.")
SECOND = step("second", "B1/shutoff_2", "half_open", text="Set shut-off 2.")
BLOW = step("blow", act="blow", to="45 psi", row="1", text="Blow zone 1.")
STEPS = (FIRST, SECOND, BLOW)


def compiled(
    account, *steps, season="shutdown", sheet=None, site_key=SITE, version=None
):
    """Return a list as a compiler would hand it in, from the site as it is kept."""
    return Compiled(
        procedure=Procedure(season, steps or STEPS, (StaysOpen("V1", "the house"),)),
        site_version=version or site_version(account, key=site_key),
        start=START,
        sheet=sheet,
    )


def opened(account, *steps, year=2026, now=MORNING, **options):
    """Keep the site, open a list and return its number."""
    store_site(read(rich_file()), account=account, now=SPRING)
    return open_season_list(
        account,
        site_key=SITE,
        compiled=compiled(account, *steps, **options),
        year=year,
        now=now,
        actor="Ann",
    )


def ids(account, list_id):
    """Return the numbers of the steps by key."""
    lines = season_list(account, list_id=list_id).all_steps
    return {line.step.key: line.id for line in lines if not line.gone}


def tick(step_id, **fields):
    """Return a report of its own id."""
    usual = {"client_id": f"c{next(_numbers)}", "outcome": "done"}
    return Tick(step=step_id, **(usual | fields))


def report(account, list_id, *ticks, now=NOON, actor="Ben"):
    return record_steps(account, list_id=list_id, ticks=ticks, now=now, actor=actor)


def do(account, list_id, *keys, **fields):
    """Report steps by key."""
    numbers = ids(account, list_id)
    ticks = [tick(numbers[key], **fields) for key in keys]
    return report(account, list_id, *ticks)


def end_zone(account, list_id, zone, outcome="done", *, note="", seen=None):
    return set_zone_outcome(
        account,
        list_id=list_id,
        zone=zone,
        outcome=outcome,
        note=note,
        seen=seen,
        now=NOON,
        actor="Ben",
    )


def finish(account, list_id):
    """Do all that is left of a list."""
    whole = season_list(account, list_id=list_id)
    report(account, list_id, *(tick(line.id) for line in whole.steps_left))
    for line in whole.zones_left:
        end_zone(account, list_id, line.zone)


def many(number):
    """Return so many steps."""
    return tuple(replace(FIRST, key=f"s{n}", changes=()) for n in range(number))

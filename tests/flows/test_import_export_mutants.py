"""Spoilt files against the tables: what is read is kept exactly.

That reading refuses with paths is tested with the reader; here it matters what
happens to what is read: two thousand files stored one over the other, so that parts
come, change, go and come back in every way that damage brings about.
"""

import json
import random
from collections import Counter

import pytest

from maintenance.engine.site.record import Faults
from maintenance.exchange.site_file import read_site, write_site
from maintenance.models import Controller, Device, Link, Point, Zone
from maintenance.models.sites import Site as SiteRow
from maintenance.services.accounts import local_account
from maintenance.services.inventory.queries import site
from maintenance.services.inventory.store import store_site
from tests.exchange.mutations import MUTATORS, drop, garble, places, swap
from tests.exchange.rich_site import rich_record
from tests.services.inventory.files import SPRING, rich_file

MUTANTS = 2000
BATCHES = 8
# Small harm more often, since it is what gets through.
HARM = (*MUTATORS, drop, drop, drop, garble, garble, swap)


def mutant(number: int) -> str:
    dice = random.Random(number)  # noqa: S311  (no secret)
    file = dice.choice((rich_file, rich_record))()
    for kind in ("points", "links", "zones", "controllers", "notes"):
        if dice.random() < 0.3:
            dice.shuffle(file[kind])
    for _ in range(dice.choice((0, 1, 1, 2))):
        dice.choice(HARM)(file, dice.choice(places(file)), dice)
    return json.dumps(file)


def kept() -> int:
    tables = (SiteRow, Point, Link, Zone, Controller, Device)
    return sum(table.objects.count() + table.history.count() for table in tables)


@pytest.mark.django_db
@pytest.mark.parametrize("batch", range(BATCHES))
def test_a_spoilt_file_that_can_be_read_is_kept_exactly(batch):
    account = local_account()
    fate: Counter[str] = Counter()
    for number in range(batch, MUTANTS, BATCHES):
        text = mutant(number)
        try:
            value = read_site(text)
        except Faults:
            fate["refused"] += 1
            continue
        fate["kept"] += 1
        store_site(value, account=account, now=SPRING)
        back = site(account, key=value.id)
        assert back == value, number
        assert write_site(back) == write_site(value), number
        once = kept()
        again = store_site(read_site(write_site(back)), account=account, now=SPRING)
        assert (again.changed, again.retired, kept()) == ((), (), once), number
    assert fate["refused"] > 50, fate
    assert fate["kept"] > 50, fate

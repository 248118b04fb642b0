"""Two people write to the same assembly or rule at the same moment: one wins."""

from datetime import date

import pytest

from maintenance.engine.backflow.due.rule import RuleRef
from maintenance.models import AssemblyEvent, AssemblyFacts, OwnRule
from maintenance.services.accounts import local_account
from maintenance.services.backflow.facts import StatedFacts, store_facts
from maintenance.services.backflow.own_rules import supersede_rule
from maintenance.services.errors import ConflictError
from tests.services.backflow.field_tests import keep_site
from tests.services.backflow.register_cases import NOON, device, tell
from tests.services.backflow.test_own_rules import CELLS
from tests.services.backflow.test_two_sign_one_draft import at_once

RACES = 25

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def office(transactional_db):
    account = local_account()
    keep_site(account)
    return account


def one_won(told):
    lost = [each for each in told if isinstance(each, ConflictError)]
    broken = [
        each
        for each in told
        if isinstance(each, Exception) and not isinstance(each, ConflictError)
    ]
    assert broken == []
    return len(told) - len(lost) == 1


def test_facts_under_one_version_have_one_winner(office):
    device_id = device().pk
    for version in range(RACES):
        told = at_once(
            *(
                lambda who=who, v=version: store_facts(
                    office,
                    device_id=device_id,
                    stated=StatedFacts(protects=f"{who} {v}"),
                    version=v,
                    now=NOON,
                    actor=who,
                )
                for who in ("Ada", "Bo")
            )
        )
        assert one_won(told), told
    row = AssemblyFacts.objects.get()
    assert row.version == RACES
    assert row.history.count() == RACES


def test_the_same_event_told_twice_at_once_is_kept_once(office):
    for day in range(1, RACES + 1):
        on = date(2026, 3, day)
        told = at_once(*(lambda d=on: tell(office, "repaired", d) for _ in range(2)))
        assert told[0] == told[1], told
    assert AssemblyEvent.objects.count() == AssemblyEvent.history.count() == RACES


def test_a_rule_is_superseded_by_one_of_two(office):
    ref = RuleRef("washington-yearly", 1)
    for version in range(1, RACES + 1):
        told = at_once(
            *(
                lambda r=ref, n=n: supersede_rule(
                    office,
                    ref=r,
                    cells=CELLS | {"period": f"{n} months"},
                    now=NOON,
                    actor="Ada",
                )
                for n in (2, 3)
            )
        )
        assert one_won(told), told
        ref = RuleRef("own-washington-yearly", version)
    assert OwnRule.objects.count() == RACES

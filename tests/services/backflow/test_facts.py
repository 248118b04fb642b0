"""Facts of an assembly are stated under a version; nothing is overwritten unseen."""

from dataclasses import replace

import pytest

from maintenance.engine.backflow.due.facts import Use
from maintenance.engine.errors import InputError
from maintenance.models import AssemblyFacts
from maintenance.services.backflow.facts import (
    StatedFacts,
    facts_for_rules,
    stated_facts,
    store_facts,
)
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from tests.services.backflow.register_cases import NOON, device, state

WHOLE = StatedFacts(
    hazard="high",
    protects="lawn zones 1 to 6",
    place="washington",
    own_rule="every 2 years",
    region="US-WA",
    residential=True,
    chemicals=False,
    months_used=5,
    make="Fivegate",
    model="F-2",
    account_number="0042",
    position="left of the garage door",
    height_m=0.4,
    safe_from_flooding=True,
    kept_from_freezing=False,
    oriented_properly=True,
    installed_properly=None,
)


def store(account, stated, version=0, device_id=None):
    return store_facts(
        account,
        device_id=device_id or device().pk,
        stated=stated,
        version=version,
        now=NOON,
        actor="Ada",
    )


def test_what_is_stated_is_kept_whole_with_its_history(office):
    assert store(office, WHOLE) == 1
    assert store(office, replace(WHOLE, hazard="low"), 1) == 2
    row = AssemblyFacts.objects.get(device=device())
    assert stated_facts(row) == replace(WHOLE, hazard="low")
    kept = [(e.hazard, e.actor) for e in row.history.order_by("history_id")]
    assert kept == [("high", "Ada"), ("low", "Ada")]


def test_the_same_told_again_changes_nothing(office):
    assert store(office, WHOLE) == store(office, WHOLE, 1) == 1
    assert AssemblyFacts.history.count() == 1


@pytest.mark.parametrize("version", [0, 2, -1])
def test_what_someone_else_stated_is_not_overwritten(office, version):
    store(office, WHOLE)
    with pytest.raises(ConflictError, match="Someone else"):
        store(office, StatedFacts(), version)
    assert stated_facts(AssemblyFacts.objects.get()) == WHOLE


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("hazard", "severe"),
        ("own_rule", "now and then"),
        ("region", "Atlantis"),
        ("months_used", 13),
        ("months_used", -1),
        ("height_m", float("nan")),
        ("height_m", 1e6),
        ("place", "nowhere"),
    ],
)
def test_what_cannot_be_is_refused_at_its_question(office, name, value):
    with pytest.raises(InputError) as refusal:
        store(office, replace(WHOLE, **{name: value}))
    assert refusal.value.input == name
    assert not AssemblyFacts.objects.exists()


def test_a_text_that_no_database_keeps_is_refused(office):
    with pytest.raises(ServiceError, match="cannot be stored"):
        store(office, replace(WHOLE, protects="a\x00b"))
    assert not AssemblyFacts.objects.exists()


def test_an_assembly_of_someone_else_is_not_found(office, stranger):
    with pytest.raises(NotFoundError):
        store(stranger, WHOLE)


def test_rules_are_told_what_is_known_and_no_more(office):
    state(office, hazard="high", months_used=5, chemicals=False)
    row = device()
    told = facts_for_rules(row, stated_facts(row.facts))
    assert (told.kind, told.hazard, told.months_used) == ("RP", "high", 5)
    assert told.size_m == pytest.approx(0.0254)
    assert told.use == Use(irrigation=True, residential=None, chemicals=False)
    row.size, row.kind = "unreadable", "odd"
    told = facts_for_rules(row, StatedFacts())
    assert (told.kind, told.hazard, told.size_m) == (None, None, None)

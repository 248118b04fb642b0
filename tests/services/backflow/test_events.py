"""What befell an assembly is told once, taken back and never deleted."""

from datetime import date

import pytest

from maintenance.models import AssemblyEvent
from maintenance.services.backflow.events import Happened, record_event, take_back_event
from maintenance.services.errors import ConflictError, NotFoundError, ServiceError
from tests.services.backflow.register_cases import NOON, device, tell

OCTOBER, APRIL = date(2026, 10, 14), date(2026, 4, 10)


def take_back(account, event_id, link="B1"):
    take_back_event(
        account, device_id=device(link).pk, event_id=event_id, now=NOON, actor="Bo"
    )


def test_the_same_told_twice_is_kept_once(office):
    first = tell(office, "removed", OCTOBER, stored_at="shed, with the owner")
    assert tell(office, "removed", OCTOBER, stored_at="shed, with the owner") == first
    assert AssemblyEvent.objects.count() == AssemblyEvent.history.count() == 1


def test_another_account_of_the_same_day_is_no_twin(office):
    tell(office, "removed", OCTOBER, stored_at="shed")
    with pytest.raises(ConflictError, match="other words"):
        tell(office, "removed", OCTOBER, stored_at="cellar")


def test_one_that_is_out_cannot_be_taken_out_again(office):
    tell(office, "removed", OCTOBER)
    with pytest.raises(ConflictError, match="put back"):
        tell(office, "removed", date(2026, 11, 1))
    tell(office, "reinstalled", date(2026, 11, 2))
    tell(office, "removed", date(2026, 11, 3))
    assert AssemblyEvent.objects.count() == 3


def test_what_is_taken_back_stays_in_the_history_and_can_be_told_again(office):
    first = tell(office, "frozen", APRIL, note="split at the bonnet")
    take_back(office, first)
    take_back(office, first)
    row = AssemblyEvent.objects.get(pk=first)
    assert row.undone_at == NOON
    assert [e.actor for e in row.history.order_by("history_id")] == ["Ada", "Bo"]
    assert tell(office, "frozen", APRIL, note="split at the bonnet") != first


@pytest.mark.parametrize(
    ("told", "why"),
    [
        (Happened(kind="melted", on=APRIL), "nothing that can befall"),
        (Happened(kind="tested", on=APRIL), "nothing that can befall"),
        (Happened(kind="frozen", on=date(2026, 11, 21)), "still to come"),
        (Happened(kind="frozen", on=date(1026, 4, 1)), "look at the year"),
        (Happened(kind="frozen", on=APRIL, stored_at="shed"), "taken out"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(office, told, why):
    with pytest.raises(ServiceError, match=why):
        record_event(office, device_id=device().pk, told=told, now=NOON, actor="Ada")
    assert not AssemblyEvent.objects.exists()


def test_the_day_is_that_of_the_site(office):
    """At 05:00 UTC it is still the day before in Denver."""
    early = NOON.replace(day=21, hour=5)
    told = Happened(kind="frozen", on=date(2026, 11, 21))
    with pytest.raises(ServiceError, match="still to come"):
        record_event(office, device_id=device().pk, told=told, now=early, actor="Ada")


def test_events_of_someone_else_are_not_found(office, stranger):
    event_id = tell(office, "removed", OCTOBER)
    with pytest.raises(NotFoundError):
        take_back_event(
            stranger, device_id=device().pk, event_id=event_id, now=NOON, actor="X"
        )
    with pytest.raises(NotFoundError):
        take_back(office, event_id, link="B2")
    assert AssemblyEvent.objects.get().undone_at is None

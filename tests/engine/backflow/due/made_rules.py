"""Short ways to rules and events that the tests make up."""

from datetime import UTC, date, datetime

from maintenance.engine.backflow.due.events import Event
from maintenance.engine.backflow.due.rule import Rule

NOON = 12


def day(text):
    return date.fromisoformat(text)


def rule(trigger, id_="made-up", **more):
    return Rule(id=id_, trigger=trigger, source="made up for a test", **more)


def event(kind, text):
    return Event(kind, day(text))


def passed(text):
    return Event("tested", day(text), result="passed")


def failed(text):
    on = day(text)
    at = datetime(on.year, on.month, on.day, NOON, tzinfo=UTC)
    return Event("tested", on, at, "failed")

"""People, things that are due, and a channel that notes what it is given."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from typing import Any

import pytest

from maintenance.engine.reminding.attempts import Outcome
from maintenance.engine.reminding.letters import Delivery
from maintenance.models import Account, Obligation, Recipient, Webhook
from maintenance.services.reminders.stop_links import hash_of, stop_token

NOW = datetime(2026, 9, 15, 15, 0, tzinfo=UTC)  # 09:00 in Denver


@dataclass
class Noting:
    """A channel that notes deliveries and answers as told, else by taking them."""

    knows_keys: bool = False
    answers: list[Outcome] = field(default_factory=list)
    got: list[Delivery] = field(default_factory=list)

    def deliver(self, delivery: Delivery) -> Outcome:
        self.got.append(delivery)
        return self.answers.pop(0) if self.answers else Outcome("accepted")


@pytest.fixture
def noting() -> Noting:
    return Noting()


@pytest.fixture
def ways(noting: Noting) -> dict[str, Noting]:
    return {"email": noting, "digest": noting, "webhook": Noting(knows_keys=True)}


@pytest.fixture
def person(owner: Account) -> Callable[..., Recipient]:
    def add(name: str = "Ada", **more: Any) -> Recipient:
        row = Recipient.objects.create(
            **{
                "account": owner,
                "name": name,
                "email": f"{name.lower()}@example.org",
                "morning": time(8),
                **more,
            }
        )
        row.stop_hash = hash_of(stop_token(row.pk))
        row.save(update_fields=["stop_hash"])
        return row

    return add


@pytest.fixture
def hook(owner: Account) -> Webhook:
    return Webhook.objects.create(
        account=owner, url="https://hooks.example.org/due", secret="whsec_c2VjcmV0"
    )


@pytest.fixture
def due(owner: Account) -> Callable[..., Obligation]:
    def add(due_on: date = date(2026, 9, 15), about: str = "custom:1", **more: Any):
        return Obligation.objects.create(
            **{
                "account": owner,
                "kind": "custom",
                "about": about,
                "what": "Look at the drain",
                "due_on": due_on,
                "time_zone": "America/Denver",
                **more,
            }
        )

    return add

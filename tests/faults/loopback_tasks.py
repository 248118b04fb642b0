"""Makes a Celery worker deliver on this machine; ``celery worker -I`` imports it.

The tasks are the program's own; only their channels and their lease are replaced.
"""

from functools import partial

from celery import shared_task

from maintenance.jobs import tasks
from maintenance.models import Message
from maintenance.services.reminders.drain import drain
from tests.faults.loopback import CHANNELS, LEASE_S, deliver_at_once

setattr(tasks, "channels", lambda _clock: CHANNELS)  # noqa: B010  (not exported there)
setattr(tasks, "drain", partial(drain, lease_s=LEASE_S))  # noqa: B010


@shared_task(name="faults.tell_one")
def tell_one(number: int) -> None:
    """The control: the queue is the truth, and the row is only marked afterwards."""
    deliver_at_once(number)
    Message.objects.filter(pk=number).update(state="sent")

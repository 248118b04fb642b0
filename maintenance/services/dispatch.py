"""Work is queued by the name of its task, once what it is about is stored.

So nothing here imports the tasks, and no message can overtake its own rows. A message
carries nothing but a name: it is a nudge, and a worker reads from the rows what there
is to do. One that is lost, or that no queue takes, costs a minute and nothing else.
"""

import logging
from functools import partial
from typing import Final

from django.db import transaction

NUDGE_EXPIRES_S: Final = 60
"""Older than this a nudge says nothing new: the next minute has nudged again."""

_log = logging.getLogger(__name__)


def nudge(task: str) -> None:
    """Nudge the workers to a task after the commit, or at once outside a transaction.

    Parameters
    ----------
    task : str
        Its name, such as ``jobs.work``.
    """
    transaction.on_commit(partial(_send, task), robust=True)


def _send(task: str) -> None:
    from irrigation_site.celery import app, make_queue  # noqa: PLC0415  (slow to import)

    make_queue()
    try:
        app.send_task(task, expires=NUDGE_EXPIRES_S)
    except Exception as fault:  # noqa: BLE001  (whatever a queue can fail with)
        _log.warning(
            "No queue took the nudge to %s (%s): the next minute makes it up.",
            task,
            type(fault).__name__,
        )

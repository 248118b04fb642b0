"""The queue: nudges for the workers, and the schedule in code.

``celery -A irrigation_site worker`` and ``celery -A irrigation_site beat`` find it
here; `serve` starts the one worker of the embedded default by itself.
"""

import os
from pathlib import Path

from celery import Celery
from celery.signals import worker_init, worker_ready
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured

from irrigation_site.schedule import TASKS, schedule
from irrigation_site.secret_key import make_data_folder

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "irrigation_site.settings.base")

app = Celery("irrigation_site")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.conf.imports = ("maintenance.jobs.tasks",)
app.conf.beat_schedule = schedule(settings.BACKGROUND_EVERY_S)
app.set_default()


def make_queue() -> None:
    """Make the folders of the embedded queue; with Redis there is nothing to make."""
    if settings.REDIS_URL:
        return
    make_data_folder(Path(settings.DATA_DIR))
    queue = settings.CELERY_BROKER_TRANSPORT_OPTIONS
    for name in ("data_folder_in", "control_folder"):
        Path(str(queue[name])).mkdir(mode=0o700, parents=True, exist_ok=True)


@worker_init.connect
def _prepare(**_more: object) -> None:
    """Make the queue, or refuse to start where it or the database forgets."""
    from maintenance.services.start_checks import (  # noqa: PLC0415  (needs the apps)
        refuse_unsafe_start,
    )

    make_queue()
    try:
        refuse_unsafe_start()
    except ImproperlyConfigured as refusal:
        raise SystemExit(str(refusal)) from None


@worker_ready.connect
def _tick_at_once(**_more: object) -> None:
    """Do at the start what the schedule does in a minute: nobody waits for it."""
    for task in TASKS:
        app.send_task(task, expires=60)

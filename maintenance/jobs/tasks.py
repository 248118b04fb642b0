"""The tasks of the workers: each asks the services, and nothing else.

None takes an argument or gives a result: what there is to do stands in the rows.
"""

from datetime import timedelta
from random import random
from time import monotonic
from typing import Final

from celery import shared_task
from django.conf import settings
from django.utils import timezone

from maintenance.documents.test_report_pdf import record_pdf
from maintenance.engine.climate.fetched import Answer, PlaceAsked
from maintenance.exchange.delivery.channels import channels
from maintenance.exchange.weather.service.fetch import fetch_forecast
from maintenance.services.dispatch import nudge
from maintenance.services.jobs.ask import TASK
from maintenance.services.jobs.build_lists import prepare_list
from maintenance.services.jobs.heartbeats import BEAT, give_sign, take_turn
from maintenance.services.jobs.hourly import ask_by_the_hour, clear_by_the_hour
from maintenance.services.jobs.print_reports import printer
from maintenance.services.jobs.refresh import refresher
from maintenance.services.jobs.values import PACK
from maintenance.services.jobs.work import waiting_jobs, work_on_next
from maintenance.services.reminders.drain import drain
from maintenance.services.reminders.find import find_all
from maintenance.services.reminders.materialise import materialise
from maintenance.services.visits.air_needs import keep_up_air_needs

AT_ONE_GO_S: Final = 20.0
"""Then other tasks have their turn: the embedded worker does one after the other."""

MOST_NUDGES: Final = 8
AT_ONCE: Final = 200
FOUND_EVERY: Final = timedelta(minutes=15)


@shared_task(name="jobs.minute")
def minute() -> None:
    """Give a sign of life, ask for what is due, find again what got lost.

    Last comes what takes seconds: what air some sites need, where that is not known.
    """
    give_sign(BEAT)
    ask_by_the_hour(now=timezone.now())
    for _job in range(min(waiting_jobs(), MOST_NUDGES)):
        nudge(TASK)
    clear_by_the_hour(now=timezone.now())
    keep_up_air_needs(now=timezone.now())


@shared_task(name="reminders.send")
def send_reminders() -> None:
    """Find what is due now and then, write what is to be told, and deliver it."""
    if take_turn("obligations", every=FOUND_EVERY):
        find_all(now=timezone.now())
    materialise(now=timezone.now())
    end = monotonic() + AT_ONE_GO_S
    while (
        drain(channels(timezone.now), now=timezone.now(), most=AT_ONCE).worked
        == AT_ONCE
    ):
        if monotonic() > end:
            nudge("reminders.send")
            return


@shared_task(name=TASK)
def work() -> None:
    """Do pieces of jobs for a while, and ask to go on where more are waiting."""
    doers = {
        "refresh_outlooks": refresher(ask=_ask, jitter=random()),  # noqa: S311
        "build_lists": prepare_list,
        PACK: printer(render=record_pdf),
    }
    lease = timedelta(seconds=settings.JOB_LEASE_S)
    end = monotonic() + AT_ONE_GO_S
    while monotonic() < end:
        if not work_on_next(doers, lease=lease, now=timezone.now()):
            return
    nudge(TASK)


def _ask(place: PlaceAsked, contact: str) -> Answer:
    return fetch_forecast(place, contact=contact, base_url=settings.WEATHER_SERVICE_URL)

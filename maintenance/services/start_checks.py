"""What the tool does not start on: settings under which finished work gets lost."""

from typing import Any, Final

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.db import connection

SAFE_SYNCHRONOUS: Final = (2, 3)
"""FULL and EXTRA: a commit has reached the disk when it is told."""

ANSWERS_WITHIN_S: Final = 2


def refuse_unsafe_start() -> None:
    """Refuse a database or a queue that would lose what was told to be kept.

    Raises
    ------
    ImproperlyConfigured
        In one sentence, with the mend.
    """
    _refuse_forgetful_database()
    if settings.REDIS_URL:
        _refuse_evicting_queue()


def _refuse_forgetful_database() -> None:
    if connection.vendor != "sqlite":
        return
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA synchronous")
        (level,) = cursor.fetchone()
    if level not in SAFE_SYNCHRONOUS:
        raise ImproperlyConfigured(
            f"The database is set to lose finished work in a power cut (PRAGMA "
            f"synchronous is {level}): take the option out of the settings, or set it "
            "to FULL."
        )


def _refuse_evicting_queue() -> None:
    from redis import RedisError  # noqa: PLC0415  (needed with REDIS_URL only)

    try:
        policy = redis_client().info("memory").get("maxmemory_policy", "unknown")
    except RedisError as fault:
        raise ImproperlyConfigured(
            f"Redis does not answer as REDIS_URL says ({type(fault).__name__}): start "
            "it, or leave REDIS_URL out for the queue in the data folder."
        ) from fault
    if policy != "noeviction":
        raise ImproperlyConfigured(
            f"This Redis throws messages away when it is full (maxmemory-policy is "
            f"{policy}): set it to noeviction, or give the tool a Redis of its own."
        )


def redis_client() -> Any:
    """Return a client of the Redis in use, which gives up soon and tries once."""
    from redis import Redis  # noqa: PLC0415
    from redis.backoff import NoBackoff  # noqa: PLC0415
    from redis.retry import Retry  # noqa: PLC0415

    return Redis.from_url(
        settings.REDIS_URL,
        socket_connect_timeout=ANSWERS_WITHIN_S,
        socket_timeout=ANSWERS_WITHIN_S,
        retry=Retry(NoBackoff(), 0),
    )

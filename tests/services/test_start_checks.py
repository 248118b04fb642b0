"""The tool does not start on what would lose finished work."""

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.db import connection

from maintenance.services.start_checks import refuse_unsafe_start
from tests.redis_server import LACK, RedisServer


def synchronous(level: str) -> None:
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute(f"PRAGMA synchronous={level}")


@pytest.fixture
def safe(transactional_db):
    synchronous("FULL")
    yield
    synchronous("OFF")


@pytest.fixture
def redis_of(tmp_path, settings, safe):
    if LACK:
        pytest.skip(LACK)
    started = []

    def start(*options):
        server = RedisServer(tmp_path, *options)
        server.start()
        started.append(server)
        settings.REDIS_URL = server.url
        return server

    yield start
    for server in started:
        server.kill()


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("level", ["NORMAL", "OFF"])
def test_an_embedded_database_that_forgets_is_refused(safe, level):
    if connection.vendor != "sqlite":
        return
    refuse_unsafe_start()
    synchronous(level)
    with pytest.raises(ImproperlyConfigured, match="lose finished work"):
        refuse_unsafe_start()


@pytest.mark.parametrize("policy", ["allkeys-lru", "volatile-ttl"])
def test_a_redis_that_throws_messages_away_is_refused(redis_of, policy):
    redis_of("--maxmemory-policy", policy)
    with pytest.raises(ImproperlyConfigured, match=f"{policy}.*noeviction"):
        refuse_unsafe_start()


def test_a_redis_that_keeps_them_is_taken(redis_of):
    redis_of("--maxmemory-policy", "noeviction")
    refuse_unsafe_start()


def test_a_redis_that_does_not_answer_is_refused_without_its_secrets(
    redis_of, settings
):
    server = redis_of()
    server.kill()
    settings.REDIS_URL = f"redis://:hush@127.0.0.1:{server.port}/0"
    with pytest.raises(ImproperlyConfigured, match="does not answer") as refusal:
        refuse_unsafe_start()
    assert "hush" not in str(refusal.value)

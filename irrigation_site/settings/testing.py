"""Settings of the tests: the same tool on a data folder that is thrown away.

TEST_DATABASE_URL chooses the database: none is the embedded one,
``postgres://…`` a PostgreSQL server whose role may make databases.
"""

import atexit
import os
import shutil
import tempfile
from pathlib import Path

from irrigation_site.settings.base import *
from irrigation_site.settings.surroundings import env

DATA_DIR = Path(tempfile.mkdtemp(prefix="irrigation-tests-"))
atexit.register(shutil.rmtree, DATA_DIR, ignore_errors=True)

SECRET_KEY = "a key for the tests only, which guards nothing"  # noqa: S105
ALLOWED_HOSTS = [*ALLOWED_HOSTS, "testserver"]

if env.str("TEST_DATABASE_URL", default=""):
    # The database is dropped at the end, so no connection may linger; its name is
    # this process's own, so that two runs on one server do not meet. No need to wait
    # for the disk: nothing outlives a power cut here.
    served = served_database("TEST_DATABASE_URL")
    quick = {"options": "-c synchronous_commit=off"}
    DATABASES = {
        "default": served
        | {
            "CONN_MAX_AGE": 0,
            "OPTIONS": served.get("OPTIONS", {}) | quick,
            "TEST": {"NAME": f"test_irrigation_{os.getpid()}"},
        }
    }
else:
    # A file as in real life, since threads share it; no need to outlive a power cut.
    DATABASES = {
        "default": embedded_database(DATA_DIR / "irrigation.sqlite3", synchronous="OFF")
        | {"TEST": {"NAME": DATA_DIR / "test.sqlite3"}}
    }

# A test that wants a worker starts one; the queue of this machine is left alone.
REDIS_URL = ""
QUEUE_DIR = DATA_DIR / "queue"
CELERY_BROKER_URL = "filesystem://localhost"
CELERY_BROKER_TRANSPORT_OPTIONS = folder_queue(QUEUE_DIR)
SILENCE_LOOKED_FOR_EVERY_S = None  # the tests count the queries of the pages themselves

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]

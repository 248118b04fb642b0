"""The tables follow the models, and hold on both databases."""

import os
import subprocess
import sys

import pytest
from django.core.management import call_command


@pytest.mark.django_db
def test_no_migration_is_missing():
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


@pytest.mark.longest
@pytest.mark.postgres
@pytest.mark.slow
def test_what_uses_the_database_holds_on_postgresql(repository, postgres_url):
    done = subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-q",
            "-p",
            "no:cacheprovider",
            "-m",
            "database and not browser and not postgres",
            "tests",
        ],
        cwd=repository,
        env=os.environ | {"TEST_DATABASE_URL": postgres_url},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout[-8000:] + done.stderr[-2000:]

"""``demo``: one command from nothing to the sheet; a second one changes nothing."""

import subprocess
import sys
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from maintenance.exchange.demonstration import read_demonstration
from maintenance.models import Compressor, Link, Site
from maintenance.services.accounts import local_account
from maintenance.services.demonstration import load_demonstration, remove_demonstration
from maintenance.services.errors import ConflictError
from maintenance.services.inventory.store import retire_site, store_site


def demo() -> str:
    out = StringIO()
    call_command("demo", "--no-serve", stdout=out, stderr=StringIO())
    return out.getvalue()


def load(account, sites, compressors, now):
    return load_demonstration(account, sites=sites, compressors=compressors, now=now)


def kept() -> tuple[object, ...]:
    return (
        list(Site.objects.order_by("key").values_list("key", "version", "demo")),
        list(Compressor.objects.order_by("key").values_list("key", "version", "demo")),
        Link.history.count(),
    )


@pytest.mark.django_db
def test_the_demonstration_prints_larkmoors_sheet_and_twice_changes_nothing():
    first = demo()
    assert first.startswith("Blow-out sheet: Larkmoor Gardens, compressor yard-25")
    for zone in range(1, 31):
        assert f"Zone {zone} " in first
    before = kept()
    assert len(before[0]) == 13  # type: ignore[arg-type]
    assert demo() == first
    assert kept() == before


@pytest.mark.django_db
def test_loading_twice_changes_nothing_and_removing_leaves_nothing_of_it():
    account, now = local_account(), timezone.now()
    files = read_demonstration()
    parts = (files.sites, files.compressors)
    assert len(load(account, *parts, now)) == 17
    before = kept()
    assert load(account, *parts, now) == ()
    assert kept() == before
    assert len(remove_demonstration(account)) == 17
    assert kept() == ([], [], 0)


@pytest.mark.django_db
def test_a_demonstration_over_a_persons_own_site_stores_nothing():
    account, now = local_account(), timezone.now()
    files = read_demonstration()
    store_site(files.sites[-1], account=account, now=now)
    with pytest.raises(ConflictError, match="of your own making"):
        load(account, files.sites, files.compressors, now)
    assert Site.objects.count() == 1
    assert not Compressor.objects.exists()


@pytest.mark.django_db
def test_what_was_tried_on_the_demonstration_stays():
    demo()
    retire_site(local_account(), key="kiln-steps-31", now=timezone.now())
    demo()
    assert Site.objects.get(key="kiln-steps-31").retired_at is not None


def test_files_that_are_not_there_are_a_sentence(tmp_path):
    with pytest.raises(Exception, match="whole copy of its repository"):
        read_demonstration(tmp_path)


def test_a_port_that_cannot_be_had_leaves_nothing_behind(repository, tmp_path):
    data = tmp_path / "data"
    done = subprocess.run(
        [sys.executable, "manage.py", "demo", "--port", "99999"],
        cwd=repository,
        env={"IRRIGATION_DATA": str(data), "PATH": "/usr/bin:/bin"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.startswith("There is no port 99999")
    assert not data.exists()


@pytest.mark.django_db
def test_a_wrong_option_is_a_sentence():
    with pytest.raises(CommandError):
        call_command("demo", "--port", "much", stdout=StringIO(), stderr=StringIO())

"""A backup goes into an empty place of either database and is all that was there."""

import json
import shutil
import sqlite3
import stat
from contextlib import closing
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import call_command
from django.db import connection
from django.utils import timezone

from maintenance.models import Heartbeat
from maintenance.services.accounts import local_account
from maintenance.services.demonstration import load_demonstration
from tests.management.places import (
    Tables,
    differences,
    empty_postgres,
    manage,
    tables_of_postgres,
    tables_of_sqlite,
)
from tests.services.backflow.field_tests import keep_kit, keep_site, readings, signed
from tests.services.jobs.many_sites import asked_for
from tests.services.seasons.lists import opened

pytestmark = [pytest.mark.slow, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def kept(transactional_db) -> Tables:
    """Keep something of much, and return what stands in the tables."""
    from maintenance.exchange.demonstration import read_demonstration  # noqa: PLC0415

    account, files = local_account(), read_demonstration()
    keep_site(account)
    keep_kit(account)
    signed(account, "B1", answers=readings("RP") | {"comments": "Ĝ „x“ \N{SNOWFLAKE}"})
    load_demonstration(
        account, sites=files.sites, compressors=files.compressors, now=timezone.now()
    )
    opened(account)
    asked_for(account)
    if connection.vendor == "postgresql":
        return tables_of_postgres(_address())
    return tables_of_sqlite(Path(connection.settings_dict["NAME"]))


def _address() -> str:
    its = connection.settings_dict
    return (
        f"postgres://{its['USER']}:{its['PASSWORD']}@{its['HOST']}:{its['PORT']}"
        f"/{its['NAME']}"
    )


@pytest.fixture
def photo():
    path = Path(settings.DATA_DIR) / "photos" / "a1b2.jpg"
    # Other tests of this process keep photos in the same folder.
    shutil.rmtree(path.parent, ignore_errors=True)
    path.parent.mkdir()
    path.write_bytes(bytes(range(256)) * 20)
    yield path
    path.unlink()


@pytest.fixture
def backup(kept, photo, tmp_path, capsys) -> Path:
    path: Path = tmp_path / "all.backup"
    call_command("backup", str(path))
    assert "1 photos" in capsys.readouterr().out
    return path


def test_every_table_comes_back_the_same_and_the_signed_tests_hold(
    kept, backup, tmp_path, photo
):
    assert stat.S_IMODE(backup.stat().st_mode) == 0o600
    assert len([name for name, rows in kept.items() if rows]) > 20
    done = manage(tmp_path / "new", "restore", str(backup))
    assert done.returncode == 0, done.stderr
    assert "1 signed tests are as they were signed" in done.stdout
    path = tmp_path / "new" / "irrigation.sqlite3"
    assert differences(kept, tables_of_sqlite(path)) == []
    assert (tmp_path / "new/photos/a1b2.jpg").read_bytes() == photo.read_bytes()
    with closing(sqlite3.connect(path)) as database:
        assert database.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert database.execute("PRAGMA foreign_key_check").fetchall() == []
        with pytest.raises(sqlite3.IntegrityError, match="never changes"):
            database.execute("UPDATE maintenance_testrecord SET number = 9")
    assert not list((tmp_path / "new").glob("*restoring*"))

    again = manage(tmp_path / "new", "restore", str(backup))
    assert again.returncode == 1
    assert "an empty place only" in again.stderr
    assert differences(kept, tables_of_sqlite(path)) == []


@pytest.mark.postgres
def test_it_goes_into_postgresql_and_back(kept, backup, tmp_path, postgres_url):
    with empty_postgres(postgres_url) as url:
        done = manage(tmp_path / "there", "restore", str(backup), url=url)
        assert done.returncode == 0, done.stderr
        assert differences(kept, tables_of_postgres(url)) == []
        again = manage(tmp_path / "there", "restore", str(backup), url=url)
        assert again.returncode == 1
        assert "has tables already" in again.stderr
        verified = manage(tmp_path / "there", "verify_tests", url=url)
        assert "as it was signed" in verified.stdout

        back = tmp_path / "back.backup"
        assert manage(tmp_path / "there", "backup", str(back), url=url).returncode == 0
    done = manage(tmp_path / "home", "restore", str(back))
    assert done.returncode == 0, done.stderr
    home = tables_of_sqlite(tmp_path / "home" / "irrigation.sqlite3")
    assert differences(kept, home) == []


def test_no_number_is_given_out_a_second_time(kept, tmp_path):
    last = Heartbeat.objects.create(name="gone", at=timezone.now())
    gone = last.pk
    last.delete()
    path = tmp_path / "all.backup"
    call_command("backup", str(path))
    assert manage(tmp_path / "new", "restore", str(path)).returncode == 0
    with closing(sqlite3.connect(tmp_path / "new" / "irrigation.sqlite3")) as database:
        asked = "SELECT seq FROM sqlite_sequence WHERE name = 'maintenance_heartbeat'"
        assert database.execute(asked).fetchone() == (gone,)


def test_a_backup_of_a_newer_program_is_refused_and_leaves_nothing(backup, tmp_path):
    import zipfile  # noqa: PLC0415

    newer = tmp_path / "newer.backup"
    with zipfile.ZipFile(backup) as old, zipfile.ZipFile(newer, "w") as new:
        for name in old.namelist():
            text = old.read(name)
            if name == "manifest.json":
                manifest = json.loads(text)
                manifest["migrations"].append(["maintenance", "9999_of_tomorrow"])
                text = json.dumps(manifest).encode()
            new.writestr(name, text)
    done = manage(tmp_path / "new", "restore", str(newer))
    assert done.returncode == 1
    assert "newer program" in done.stderr
    assert "Traceback" not in done.stderr
    assert not list((tmp_path / "new").glob("irrigation.sqlite3*"))


def test_a_backup_never_replaces_a_file(db, tmp_path):
    path = tmp_path / "mine.txt"
    path.write_text("mine")
    from django.core.management import CommandError  # noqa: PLC0415

    with pytest.raises(CommandError, match="already"):
        call_command("backup", str(path))
    assert path.read_text() == "mine"


def test_every_table_of_the_database_is_kept_or_left_out_on_purpose(db):
    from django.apps import apps  # noqa: PLC0415

    from maintenance.services.backup.tables import (  # noqa: PLC0415
        LEFT_OUT,
        kept_models,
        table_of,
    )

    kept = {table_of(model) for model in kept_models(apps)}
    there = set(connection.introspection.table_names())
    assert there - kept <= LEFT_OUT
    assert kept <= there

"""Everything of an account, and nothing of another; safe in a spreadsheet."""

import csv
import io
import json
import zipfile

import pytest

from maintenance.documents.account_archive import READ_ME, account_archive
from maintenance.exchange.site_file import read_site
from maintenance.models import Account, Site
from maintenance.services.inventory.queries import site
from maintenance.services.inventory.store import store_site
from maintenance.services.people.export import exported_tables
from maintenance.services.people.invite import hash_of, invite
from maintenance.services.people.tables import tables_of
from tests.services.inventory.files import example, read
from tests.services.people.conftest import NOW, person


@pytest.fixture
def archive(firm: Account, owner: object) -> zipfile.ZipFile:
    other = Account.objects.create(key="other", name="Zylophane")
    file = example("example-lateral") | {"name": "Zylophane garden"}
    store_site(read(file), account=other, now=NOW)
    person(other, "Zylophane", "owner")
    odd = example("example-lateral") | {"id": "../a b/=c", "name": "=1+1"}
    store_site(read(odd), account=firm, now=NOW)
    with account_archive(firm) as stream:
        return zipfile.ZipFile(io.BytesIO(stream.read()))


def test_each_site_comes_back_as_it_was(archive: zipfile.ZipFile, firm: Account):
    names = [name for name in archive.namelist() if name.startswith("sites/")]
    assert len(names) == 3
    for name in names:
        read_again = read_site(archive.read(name))
        assert read_again == site(firm, key=read_again.id)


def test_names_in_it_can_be_unpacked_anywhere(archive: zipfile.ZipFile):
    for name in archive.namelist():
        assert not name.startswith("/")
        assert ".." not in name
        assert name.isascii()
        assert name.count("/") <= 1
    assert archive.read("READ ME.txt").decode() == READ_ME


def test_every_table_has_all_its_rows(archive: zipfile.ZipFile, firm: Account):
    for table in tables_of(firm):
        rows = json.loads(archive.read(f"tables/{table.name}.json"))
        assert len(rows) == table.rows.count(), table.name
        text = archive.read(f"tables/{table.name}.csv").decode("utf-8")
        assert len(list(csv.reader(io.StringIO(text)))) == len(rows) + 1, table.name
    assert json.loads(archive.read("tables/site_history.json"))


def test_nothing_of_another_account_is_in_it(archive: zipfile.ZipFile):
    for name in archive.namelist():
        assert "Zylophane".lower() not in archive.read(name).decode("utf-8").lower()


def test_a_spreadsheet_takes_no_text_for_a_formula(archive: zipfile.ZipFile):
    rows = csv.DictReader(io.StringIO(archive.read("tables/site.csv").decode()))
    assert "'=1+1" in [row["name"] for row in rows]


def test_nothing_that_opens_something_is_in_it(archive, firm, owner):
    secret = invite(firm, email="x@y.example", role="reader", now=NOW, actor="Olga")
    told = json.dumps([table.rows for table in exported_tables(firm)], default=str)
    assert "x@y.example" in told
    assert secret not in told
    assert hash_of(secret) not in told
    assert owner.password not in told
    assert "olga@firm.example" in told
    assert Site.objects.filter(name="=1+1").exists()

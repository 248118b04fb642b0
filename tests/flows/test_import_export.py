"""A site goes in by one command and out by the other, byte for byte."""

import json
import subprocess
import sys
from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from maintenance.exchange.site_file import read_site, write_site
from maintenance.models import Compressor, Site
from tests.services.inventory.files import EXAMPLES, card_file, rich_file

SITES = ("example-lateral", "site-a")


def run(*arguments: str) -> str:
    out = StringIO()
    call_command(*arguments, stdout=out, stderr=StringIO())
    return out.getvalue()


def write(path, file) -> str:
    path.write_text(json.dumps(file), encoding="utf-8")
    return str(path)


@pytest.mark.django_db
@pytest.mark.parametrize("name", SITES)
def test_an_example_goes_in_and_out_and_in_again(name, tmp_path):
    source = EXAMPLES / f"{name}.json"
    assert "new" in run("import_site", str(source))
    exported = run("export_site", name)
    assert exported == write_site(read_site(source.read_bytes()))
    again = tmp_path / "again.json"
    run("export_site", name, "-o", str(again))
    assert again.read_bytes() == exported.encode()
    assert "as it was, version 1" in run("import_site", str(again))
    assert run("export_site", name) == exported


@pytest.mark.django_db
@pytest.mark.parametrize("file", [rich_file(), card_file()], ids=["rich", "card"])
def test_what_a_person_wrote_comes_out_as_entered(file, tmp_path):
    run("import_site", write(tmp_path / "site.json", file))
    assert json.loads(run("export_site", file["id"])) == file


@pytest.mark.django_db
def test_a_change_is_told(tmp_path):
    file = rich_file()
    run("import_site", write(tmp_path / "site.json", file))
    file["points"][-1]["elevation"] = "-2 ft"
    del file["controllers"][0]
    told = run("import_site", write(tmp_path / "site.json", file))
    assert "version 2; changed or added: J9; retired: K2." in told


@pytest.mark.django_db
def test_a_compressor_file_is_stored_as_such():
    path = str(EXAMPLES / "compressor-25.json")
    assert "Compressor shop-25: new." in run("import_site", path)
    assert "as it was" in run("import_site", path)
    assert Compressor.objects.get().key == "shop-25"


@pytest.mark.django_db
def test_all_faults_are_told_and_nothing_is_stored(tmp_path):
    file = rich_file()
    file["links"][1]["length"] = "120"
    file["points"][0]["colour"] = "blue"
    del file["place"]["elevation"]
    with pytest.raises(CommandError) as refusal:
        run("import_site", write(tmp_path / "site.json", file))
    lines = str(refusal.value).splitlines()
    assert len(lines) == 3
    for path in ("links[1].length: ", "points[0].colour: ", "place.elevation: "):
        assert any(line.startswith(path) for line in lines), lines
    assert not Site.objects.exists()


@pytest.mark.django_db
def test_faults_between_parts_are_told_and_nothing_is_stored(tmp_path):
    file = rich_file()
    file["points"] = [point for point in file["points"] if point["id"] != "J9"]
    with pytest.raises(CommandError, match="J9"):
        run("import_site", write(tmp_path / "site.json", file))
    assert not Site.objects.exists()


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["export_site", "nowhere"], 'no site "nowhere" here'),
        (["export_site", "x", "--account", "nobody"], 'no account "nobody"'),
        (["import_site", "/no/such/file.json"], "no file /no/such/file.json"),
    ],
)
def test_what_is_not_there_is_a_sentence(arguments, sentence):
    with pytest.raises(CommandError, match=sentence):
        run(*arguments)


def test_a_check_needs_no_database_and_no_data_folder(repository, tmp_path):
    data = tmp_path / "data"
    done = [
        subprocess.run(
            [sys.executable, "manage.py", "import_site", str(path), "--check"],
            cwd=repository,
            env={"IRRIGATION_DATA": str(data), "PATH": "/usr/bin:/bin"},
            capture_output=True,
            text=True,
            check=False,
        )
        for path in (EXAMPLES / "site-a.json", write(tmp_path / "bad.json", {}))
    ]
    good, bad = done
    assert (good.returncode, good.stderr) == (0, "")
    assert "no faults. Nothing was stored." in good.stdout
    assert (bad.returncode, bad.stdout) == (1, "")
    assert "Traceback" not in bad.stderr
    assert len(bad.stderr.strip().splitlines()) > 1
    assert not data.exists()


def test_the_first_import_makes_the_database(repository, tmp_path):
    def manage(*arguments):
        return subprocess.run(
            [sys.executable, "manage.py", *arguments],
            cwd=repository,
            env={"IRRIGATION_DATA": str(tmp_path / "data"), "PATH": "/usr/bin:/bin"},
            capture_output=True,
            check=False,
        )

    source = EXAMPLES / "site-a.json"
    done = manage("import_site", str(source))
    assert done.returncode == 0, done.stderr
    out = manage("export_site", "site-a")
    assert out.returncode == 0, out.stderr
    assert out.stdout == write_site(read_site(source.read_bytes())).encode()

"""The compose file, read as YAML: what must hold of it without a machine to run it."""

import re
import shlex
import tomllib
from pathlib import Path
from typing import Any

import pytest
import yaml

DEPLOY = Path(__file__).resolve().parents[2] / "irrigation_site" / "deploy"
OURS = {"prepare", "web", "worker", "beat"}


@pytest.fixture(scope="module")
def compose() -> dict[str, Any]:
    read: dict[str, Any] = yaml.safe_load((DEPLOY / "compose.yaml").read_text("utf-8"))
    return read


@pytest.fixture(scope="module")
def services(compose) -> dict[str, Any]:
    found: dict[str, Any] = compose["services"]
    return found


def test_all_parts_are_there_and_each_once(services):
    assert set(services) == OURS | {"db", "queue", "mail"}
    beats = [
        name for name, each in services.items() if "beat" in each.get("command", [])
    ]
    assert beats == ["beat"]
    assert "--beat" not in services["worker"]["command"]
    for service in services.values():
        assert "replicas" not in service.get("deploy", {})


def test_the_queue_appends_and_evicts_nothing(services):
    command = " ".join(services["queue"]["command"])
    assert "--appendonly yes" in command
    assert "--maxmemory-policy noeviction" in command
    assert services["queue"]["volumes"] == ["queue:/data"]


def test_only_the_pages_are_reached_and_only_from_this_machine(services):
    ports = {name: each["ports"] for name, each in services.items() if "ports" in each}
    assert ports == {"web": ["127.0.0.1:8000:8000"]}


def test_nothing_starts_before_the_tables_and_the_queue_are_ready(services):
    for name in OURS - {"prepare"}:
        waits = services[name]["depends_on"]
        assert waits["prepare"]["condition"] == "service_completed_successfully"
        assert waits["queue"]["condition"] == "service_healthy"
    assert services["prepare"]["restart"] == "no"
    assert "--before-start" in services["prepare"]["command"][-1]
    assert set(services["prepare"]["depends_on"]) == {"db", "queue"}
    for name in ("db", "queue"):
        assert services[name]["healthcheck"]["test"]


def test_all_of_ours_share_one_program_one_place_and_one_way_in(services):
    for name in OURS:
        each = services[name]
        assert each["volumes"] == ["kept:/data"]
        its = each["environment"]
        assert its["DATABASE_URL"].startswith("postgres://")
        assert its["REDIS_URL"].startswith("redis://queue")
        assert its["IRRIGATION_ACCOUNTS"] == "1"


def test_what_is_kept_stands_in_named_volumes(compose, services):
    named = set(compose["volumes"])
    used = {
        volume.split(":")[0]
        for service in services.values()
        for volume in service.get("volumes", [])
    }
    assert used == named


def test_no_secret_stands_in_the_file_and_each_is_asked_for(compose):
    text = (DEPLOY / "compose.yaml").read_text("utf-8")
    asked = set(re.findall(r"\$\{([A-Z_]+)", text))
    assert re.findall(r"\$\{[A-Z_]+\}", text) == []  # without one it does not start
    example = (DEPLOY / "example.env").read_text("utf-8")
    given = dict(re.findall(r"^([A-Z_]+)=(.*)$", example, re.MULTILINE))
    assert set(given) == asked
    assert given["DB_PASSWORD"] == ""
    assert not re.search(r"PASSWORD: (?!\"\$\{)", text)


def test_its_variables_are_those_that_the_settings_read(services):
    root = DEPLOY.parent / "settings"
    settings = "".join(path.read_text("utf-8") for path in root.glob("*.py"))
    for name in services["web"]["environment"]:
        assert name in settings, name


def test_its_commands_exist(services):
    from django.core.management import get_commands  # noqa: PLC0415

    known = set(get_commands())
    for name in OURS:
        words = services[name]["command"]
        parts = shlex.split(words[-1]) if words[0] == "sh" else words
        for at, word in enumerate(parts):
            if word == "manage.py":
                assert parts[at + 1] in known
    assert (DEPLOY.parent / "wsgi.py").exists()
    docker = (DEPLOY / "Dockerfile").read_text("utf-8")
    assert re.search(r"^USER keeper$", docker, re.MULTILINE)
    for source in re.findall(r"^COPY ([a-z_]+) ", docker, re.MULTILINE):
        assert (DEPLOY.parents[1] / source).exists()


def test_the_program_comes_with_the_extras_that_there_are_and_what_reports_need():
    docker = (DEPLOY / "Dockerfile").read_text("utf-8")
    (named,) = re.findall(r"-e '\.\[([a-z,]+)\]'", docker)
    project = tomllib.loads((DEPLOY.parents[1] / "pyproject.toml").read_text("utf-8"))
    assert set(named.split(",")) == {"mail", "pdf", "postgres"}
    assert set(named.split(",")) <= set(project["project"]["optional-dependencies"])
    ci = (DEPLOY.parents[1] / ".ci" / "run").read_text("utf-8")
    libraries = re.findall(r"lib(?:pango|harfbuzz)[\w.-]+", ci)
    assert set(re.findall(r"lib(?:pango|harfbuzz)[\w.-]+", docker)) == set(libraries)

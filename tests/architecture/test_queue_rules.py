"""The queue is never trusted: no task is sent for later, or from elsewhere."""

import ast
import subprocess
import sys

import pytest

from irrigation_site.celery import app
from tests.architecture.sources import REPOSITORY, modules

DISPATCH = "maintenance/services/dispatch.py"
AT_START = "irrigation_site/celery.py"
SENDERS = {"apply_async", "delay", "send_task", "signature", "retry"}
FOR_LATER = {"countdown", "eta"}
SHOW = """
from irrigation_site.celery import app
conf = app.conf
visible = conf.broker_transport_options["visibility_timeout"]
print(conf.broker_url, conf.task_time_limit, visible)
"""


def sent(source: str) -> list[str]:
    """Name what sends a task, and what would send one for later."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.attr if isinstance(node.func, ast.Attribute) else ""
        if name in SENDERS:
            found.append(f"line {node.lineno}: .{name}(")
        found += [
            f"line {node.lineno}: {word.arg}="
            for word in node.keywords
            if word.arg in FOR_LATER
        ]
    return found


def test_tasks_are_sent_by_dispatch_alone_and_never_for_later():
    found = {}
    for path in modules("irrigation_site", "maintenance"):
        calls = sent((REPOSITORY / path).read_text(encoding="utf-8"))
        if str(path) in {DISPATCH, AT_START}:
            assert len(calls) == 1
            assert ".send_task(" in calls[0]
        elif calls:
            found[str(path)] = calls
    assert found == {}


@pytest.mark.parametrize(
    "line",
    ["work.delay()", "work.apply_async(eta=then)", "app.send_task('x', countdown=90)"],
)
def test_a_task_sent_elsewhere_or_for_later_is_seen(line):
    assert sent(line)


def test_the_queue_is_set_up_to_lose_little_and_to_believe_nothing():
    conf = app.conf
    assert conf.accept_content == ["json"]
    assert conf.task_serializer == "json"
    assert conf.task_ignore_result
    assert not conf["result_backend"]
    assert conf.task_acks_late
    assert conf.task_reject_on_worker_lost
    assert conf.worker_prefetch_multiplier == 1
    assert conf.beat_max_loop_interval <= 5
    assert conf.task_soft_time_limit < conf.task_time_limit < 600


def test_the_schedule_names_tasks_that_exist_and_lets_them_expire():
    app.loader.import_default_modules()
    assert app.conf.beat_schedule
    for entry in app.conf.beat_schedule.values():
        assert entry["task"] in app.tasks
        assert entry["options"]["expires"] <= 60


def test_with_redis_a_task_ends_before_its_message_is_sent_again():
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            SHOW,
        ],
        env={
            "PATH": "/usr/bin",
            "REDIS_URL": "redis://127.0.0.1:6399/3",
            "DJANGO_SETTINGS_MODULE": "irrigation_site.settings.base",
        },
        capture_output=True,
        text=True,
        check=True,
        cwd=REPOSITORY,
    )
    address, limit, visible = done.stdout.split()
    assert address == "redis://127.0.0.1:6399/3"
    assert int(limit) * 2 <= int(visible)

"""Tests of backflow assemblies, their reports, and repairs after a failed one."""

from datetime import datetime

from maintenance.engine.calendar.local_time import local_date
from maintenance.engine.reminding.reconcile import Found
from maintenance.models import Account, Site
from maintenance.services.backflow.due import Deadline, DueLine
from maintenance.services.backflow.due_queries import due_lines
from maintenance.services.reminders.sources.looked import Looked, open_abouts

_DUTIES = {"test": "Test", "inspection": "Inspect", "overhaul": "Overhaul"}


def look(account: Account, *, now: datetime) -> Looked:
    """Find what is due of each assembly."""
    looked = Looked(("backflow_test", "backflow_report", "backflow_repair"))
    sites = dict(Site.objects.for_account(account).values_list("key", "pk"))
    lines, _ = due_lines(account, now=now)
    passed = {
        f"device:{line.assembly.device_id}:"
        for line in lines
        if line.tested is not None and line.tested.result == "passed"
    }
    # A repair is over when the assembly has passed a test since.
    looked.done = [
        ("backflow_repair", about)
        for about in open_abouts(account, "backflow_repair")
        if about.startswith(tuple(passed))
    ]
    for line in lines:
        site = sites[line.assembly.site_key]
        _test(line, site, looked)
        if line.tested is not None:
            for kind, deadline in (
                ("backflow_report", line.report),
                ("backflow_repair", line.repair),
            ):
                _deadline(kind, line, deadline, site, looked)
    return looked


def _test(line: DueLine, site: int, looked: Looked) -> None:
    if line.due is None or line.state == "not_required":
        return
    assembly, tested = line.assembly, line.tested
    passed = tested is not None and tested.result == "passed"
    looked.found.append(
        Found(
            kind="backflow_test",
            about=f"device:{assembly.device_id}:{line.duty}",
            due_on=line.due,
            what=f"{_DUTIES.get(line.duty, 'Test')} {_named(line)}",
            why=_why(line.why, line.rule.ref if line.rule else None),
            zone=assembly.zone,
            site=site,
            last_done_on=(
                local_date(tested.at, assembly.zone) if tested and passed else None
            ),
        )
    )


def _deadline(
    kind: str, line: DueLine, deadline: Deadline | None, site: int, looked: Looked
) -> None:
    tested = line.tested
    if tested is None:
        return
    about = f"device:{line.assembly.device_id}:test:{tested.id}"
    if deadline is None:
        return
    if deadline.done_on is not None:
        looked.done.append((kind, about))
        return
    verb = "Hand in the report on" if kind == "backflow_report" else "Repair"
    looked.found.append(
        Found(
            kind=kind,
            about=about,
            due_on=deadline.day,
            what=f"{verb} {_named(line)}",
            why=_why(
                f"It follows from the test of "
                f"{local_date(tested.at, line.assembly.zone)} ({tested.result}).",
                deadline.rule.ref if deadline.rule else None,
            ),
            zone=line.assembly.zone,
            site=site,
        )
    )


def _named(line: DueLine) -> str:
    assembly = line.assembly
    serial = f", serial {assembly.serial}" if assembly.serial else ""
    return f"{assembly.kind} at {assembly.link}{serial}"


def _why(why: str, rule: object) -> str:
    return f"{why} Rule: {rule}." if rule else why

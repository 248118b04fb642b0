"""The walker: every address, every method, with what belongs to others.

It knows no view. It reads the address table, names foreign things in addresses and
forms, and looks at three things only: the status, the text, and the database. The
database is put back after each request.
"""

import copy
import io
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.apps import apps
from django.db import connection, transaction
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from maintenance.services.people.tables import tables_of
from tests.web.access.world import HIDDEN, Things

METHODS = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")
REFUSALS = frozenset({403, 404, 405})
NOBODYS = frozenset({"django_session", "maintenance_held", "django_migrations"})
# A word of ours and no id of anyone's: every account has the same ones.
CHOICES: Mapping[str, str] = {
    "section": "points",
    "kind": "head",
    "season": "shutdown",
    "name": "surge",
    "version": "1",
}
# A secret that opens by itself: whoever has it may. A wrong one must open nothing.
SECRETS: Mapping[str, str] = {"secret": "x" * 43, "uidb36": "zz", "mail key": "wrong"}


@dataclass(frozen=True)
class Route:
    """An address of the table, with what it names in order."""

    name: str
    names: tuple[str, ...]
    of_site: bool = False


@dataclass(frozen=True)
class Finding:
    """What should not have happened."""

    route: str
    what: str


def routes(urlconf: str | None = None) -> list[Route]:
    """Return every route, in the order of the table; one without a name is told."""
    return list(_routes(get_resolver(urlconf).url_patterns, "", ()))


def _routes(
    entries: Iterable[URLPattern | URLResolver], before: str, names: tuple[str, ...]
) -> Iterator[Route]:
    for entry in entries:
        pattern = entry.pattern
        own = tuple(pattern.converters) or tuple(pattern.regex.groupindex)
        path = before + str(pattern)
        if isinstance(entry, URLResolver):
            yield from _routes(entry.url_patterns, path, names + own)
        else:
            yield Route(entry.name or path, names + own, path.startswith("sites/"))


def value_of(route: Route, name: str, things: Things) -> tuple[str, bool]:
    """Return what stands for a name in an address, and whether it is an id.

    A name that nobody classified is an error: say here what it stands for.
    """
    if name in CHOICES:
        return CHOICES[name], False
    if route.name in ("account_confirm_email", "account_reset_password_from_key"):
        return SECRETS.get(name, SECRETS["mail key"]), False
    if name in SECRETS:
        return SECRETS[name], False
    if route.name.endswith("station") and not route.of_site:
        name = "station"
    if name == "rule_id":  # the account's, whichever of its sites one sees
        return things.rule_id, things.marks != HIDDEN
    ids = {
        "key": things.site if route.of_site else things.compressor,
        "station": things.station,
        "zone": things.zone,
        "part": things.part,
        "list_id": str(things.list_id),
        "step": str(things.step),
        "link": things.link,
        "device_id": str(things.device_id),
        "event_id": str(things.event_id),
        "photo_id": str(things.photo_id),
        "kit_id": str(things.gauge if route.name.endswith("gauge") else things.tester),
        "draft_id": str(things.draft_id),
        "record_id": str(things.record_id),
        "filed_id": str(things.filed_id),
        "visit_id": str(things.visit_id),
        "call_id": str(things.call_id),
        "finding_id": str(things.finding_id),
        "picture_id": str(things.picture_id),
        "filter_id": str(things.filter_id),
        "job_id": str(things.job_id),
        "pack_id": str(things.pack_id),
        "obligation": str(things.obligation),
        "message": str(things.message),
        "person": str(things.person),
        "webhook": str(things.webhook),
        "calendar": str(things.calendar),
        "member": things.member,
        "invitation": str(things.invitation),
        "pk": str(things.passkey),
    }
    return ids[name], True


def addresses(
    route: Route, own: Things, foreign: Things, urlconf: str | None = None
) -> Iterator[tuple[str, bool]]:
    """Give addresses that name something foreign, and whether they do.

    All of it foreign; then ours down to one place, and foreign there.
    """
    given = [value_of(route, name, foreign) for name in route.names]
    places = [at for at, (_value, is_id) in enumerate(given) if is_id]
    mixes = [set(places), *({at} for at in places[1:])]
    for mix in mixes:
        values = {
            name: value_of(route, name, foreign if at in mix else own)[0]
            for at, name in enumerate(route.names)
        }
        yield reverse(route.name, urlconf=urlconf, kwargs=values), bool(mix)


def bodies(foreign: Things) -> list[dict[str, str]]:
    """Return an empty form, and one that names foreign things under every name."""
    number, key = str(foreign.account.pk), foreign.site
    return [
        {},
        {
            "account": foreign.account.key,
            "account_id": number,
            "site": key,
            "site_id": key,
            "key": key,
            "id": key,
            "list_id": str(foreign.list_id),
            "step": str(foreign.step),
            "tester": str(foreign.tester),
            "gauge": str(foreign.gauge),
            "after": str(foreign.step),
            "compressor": foreign.compressor,
            "zone": foreign.zone,
            "member": foreign.member,
            "sites": key,
            "invitation": str(foreign.invitation),
            "email": "walker@ours.example",
            "role": "customer",
            "name": "walked",
            "kind": "contractor",
            "text": "walked",
            "reason": "walked",
            "client_id": "walked",
            "version": "1",
        },
    ]


# What a statement begins with that changes no row.
HARMLESS = ("SELECT", "SAVEPOINT", "RELEASE", "ROLLBACK", "PRAGMA", "BEGIN")

Dump = dict[tuple[str, Any], tuple[Any, ...]]


def dump() -> Dump:
    """Return every row of every table but those that belong to nobody."""
    found: Dump = {}
    for model in apps.get_models():
        table = model._meta.db_table
        if table in NOBODYS:
            continue
        columns = [column.attname for column in model._meta.concrete_fields]
        for row in model._default_manager.values_list("pk", *columns):
            found[table, row[0]] = tuple(map(repr, row[1:]))
    return found


class Writes:
    """Notices whether any statement was run that might change a row."""

    def __init__(self) -> None:
        self.any = False

    def __call__(self, run: Any, sql: str, *others: Any) -> Any:
        self.any = self.any or not sql.lstrip().upper().startswith(HARMLESS)
        return run(sql, *others)


def theirs_of(things: Things) -> set[tuple[str, Any]]:
    """Return which rows are an account's."""
    found: set[tuple[str, Any]] = set()
    for table in tables_of(things.account):
        rows = table.rows.values_list("pk", flat=True)
        found |= {(table.model._meta.db_table, pk) for pk in rows}
    return found


def walk(
    client: Client,
    over: Iterable[Route],
    *,
    own: Things,
    foreign: Things,
    urlconf: str | None = None,
) -> tuple[int, list[Finding]]:
    """Ask everything; return how often, and what should not have happened."""
    asked, found = 0, []
    before, theirs = dump(), theirs_of(foreign)
    for route in over:
        for address, names_foreign in addresses(route, own, foreign, urlconf):
            for method in METHODS:
                for body in bodies(foreign) if method != "GET" else bodies(foreign)[:1]:
                    asked += 1
                    status, text, after = _ask(client, method, address, body, before)
                    what = _faults(
                        status, text, before, after, theirs, strict=names_foreign
                    )
                    text_mark, id_mark = foreign.marks
                    if text_mark.lower() in text.lower():
                        what.append("shows a foreign text")
                    if not body and not names_foreign and id_mark in text:
                        what.append("shows a foreign id")
                    where = f"{method} {address} {'with ids' if body else ''}"
                    found += [Finding(route.name, f"{where}: {each}") for each in what]
    return asked, found


def _ask(
    client: Client, method: str, address: str, body: dict[str, str], before: Dump
) -> tuple[int, str, Dump]:
    """Ask, and put the database and the browser back as they were."""
    cookies, writes = copy.deepcopy(client.cookies), Writes()
    with transaction.atomic():
        with connection.execute_wrapper(writes):
            answer: Any = client.generic(
                method,
                address,
                urlencode(body),
                content_type="application/x-www-form-urlencoded",
            )
            content = b"".join(answer) if answer.streaming else answer.content
        after = dump() if writes.any else before
        transaction.set_rollback(True)
    client.cookies = cookies
    return answer.status_code, _text(content) + str(answer.headers), after


def _text(content: bytes) -> str:
    """Return what an answer tells, what is packed in it included."""
    if not content.startswith(b"PK"):
        return content.decode("utf-8", "replace")
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        return " ".join(
            f"{name} {archive.read(name).decode('utf-8', 'replace')}"
            for name in archive.namelist()
        )


def _faults(
    status: int,
    text: str,
    before: Dump,
    after: Dump,
    theirs: set[tuple[str, Any]],
    *,
    strict: bool,
) -> list[str]:
    faults = []
    if strict and status not in REFUSALS:
        faults.append(f"answered {status}")
    if status >= 500:
        faults.append(f"failed with {status}")
    if strict and before != after:
        faults.append("changed the database")
    if any(after.get(row) != before[row] for row in theirs):
        faults.append("changed a foreign row")
    return faults

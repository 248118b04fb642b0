"""Only services write; faces, documents and exchange never touch a record."""

import ast

import pytest

from tests.architecture.sources import REPOSITORY, modules

ROOMS_THAT_ONLY_READ = tuple(
    f"maintenance/{room}"
    for room in (
        "api",
        "documents",
        "engine",
        "exchange",
        "field",
        "jobs",
        "management",
        "templatetags",
        "web",
    )
)
WRITERS = {
    "abulk_create",
    "acreate",
    "adelete",
    "asave",
    "aupdate",
    "bulk_create",
    "bulk_update",
    "get_or_create",
    "save_m2m",
    "update_or_create",
}


def writes(source: str) -> list[str]:
    """Name the calls that would write a record.

    A dictionary's ``update`` takes a mapping and a picture's ``save`` a file; those
    of records and queries take names only, and so they are told apart.
    """
    found = []
    for node in ast.walk(ast.parse(source)):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)):
            continue
        name, owner = node.func.attr, node.func.value
        named_only = not node.args
        if (
            name in WRITERS
            or (name in {"delete", "save", "cursor"} and named_only)
            or (name == "update" and named_only and node.keywords)
            or (name == "create" and isinstance(owner, ast.Attribute | ast.Call))
        ):
            found.append(f"line {node.lineno}: .{name}(")
    return found


def test_nothing_outside_services_writes():
    paths = list(modules(*ROOMS_THAT_ONLY_READ))
    assert len(paths) > 5
    found = {
        str(path): calls
        for path in paths
        if (calls := writes((REPOSITORY / path).read_text(encoding="utf-8")))
    }
    assert found == {}


@pytest.mark.parametrize(
    "line",
    [
        "zone.save()",
        "zone.save(update_fields=['name'])",
        "form.save(commit=False)",
        "zone.delete()",
        "Zone.objects.create(name='1')",
        "Zone.objects.filter(pk=1).update(name='1')",
        "zones.update(name='1')",
        "Zone.objects.bulk_create(rows)",
        "site.zones.get_or_create(name='1')",
        "connection.cursor()",
    ],
)
def test_a_write_is_seen(line):
    assert writes(line)


@pytest.mark.parametrize(
    "line",
    ["context.update(more)", "digest.update(block)", "picture.save(stream, 'PNG')"],
)
def test_what_writes_no_record_is_let_through(line):
    assert writes(line) == []

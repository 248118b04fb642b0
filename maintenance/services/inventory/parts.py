"""The parts of one kind as they are wanted, against those that are kept.

First it is decided what is to be done, with nothing written; so a site that has
not changed costs only the reading, and its version is claimed before the first
part is touched.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from maintenance.models import Part
from maintenance.models.fields import record_text
from maintenance.services.inventory.columns import Columns
from maintenance.services.inventory.rows import Act, add_rows, change_rows

_Part = TypeVar("_Part", bound=Part)
Record = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Wanted:
    """A part as it is to be kept."""

    key: str
    record: Record
    columns: Columns


@dataclass(frozen=True, slots=True)
class PartsPlan(Generic[_Part]):
    """What is to be done to the parts of one kind."""

    model: type[_Part]
    kept: Mapping[str, _Part]
    wanted: tuple[Wanted, ...]
    added: tuple[str, ...]
    changed: tuple[str, ...]
    moved: tuple[str, ...]
    retired: tuple[str, ...]

    def __bool__(self) -> bool:
        """Return whether there is anything to do."""
        return bool(self.added or self.changed or self.moved or self.retired)


def plan_parts(
    model: type[_Part], kept: Iterable[_Part], wanted: Iterable[Wanted]
) -> PartsPlan[_Part]:
    """Compare the parts that are kept, retired ones too, with those wanted."""
    rows = {row.key: row for row in kept}
    parts = tuple(wanted)
    keys = {part.key for part in parts}
    there = [(rank, part) for rank, part in enumerate(parts) if part.key in rows]
    changed = {part.key for _, part in there if _differs(rows[part.key], part)}
    return PartsPlan(
        model=model,
        kept=rows,
        wanted=parts,
        added=tuple(part.key for part in parts if part.key not in rows),
        changed=tuple(part.key for part in parts if part.key in changed),
        moved=tuple(part.key for rank, part in there if rows[part.key].rank != rank),
        retired=tuple(
            key
            for key, row in rows.items()
            if row.retired_at is None and key not in keys
        ),
    )


def _differs(row: Part, part: Wanted) -> bool:
    return (
        row.retired_at is not None
        or record_text(row.record) != record_text(part.record)
        or any(getattr(row, name) != value for name, value in part.columns.items())
    )


def apply_plan(
    plan: PartsPlan[_Part],
    *,
    site_id: int,
    ends: Callable[[Record], dict[str, int | None]],
    act: Act,
) -> dict[str, _Part]:
    """Carry a plan out and return the standing rows by id.

    ``ends`` gives, for a record, the columns that point to other parts.
    """
    standing: dict[str, _Part] = {}
    fields = {"record", "rank", "retired_at"}
    for rank, part in enumerate(plan.wanted):
        row = plan.kept.get(part.key)
        if row is None:
            row = plan.model(site_id=site_id, key=part.key)
        columns = {**part.columns, **ends(part.record)}
        fields |= columns.keys()
        row.rank, row.record, row.retired_at = rank, part.record, None
        for name, value in columns.items():
            setattr(row, name, value)
        standing[part.key] = row
    leaving = [plan.kept[key] for key in plan.retired]
    for row in leaving:
        row.retired_at = act.now
    model = plan.model
    add_rows(model, [standing[key] for key in plan.added], act)
    change_rows(model, [standing[key] for key in plan.changed], sorted(fields), act)
    change_rows(model, leaving, ["retired_at"], act)
    only_moved = [standing[key] for key in plan.moved if key not in plan.changed]
    if only_moved:
        manager = model._default_manager  # noqa: SLF001  (public all the same)
        manager.bulk_update(only_moved, ["rank"])
    return standing

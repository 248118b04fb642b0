"""Rows are added and changed here, each with its entry in the history.

Django's `full_clean` asks the database several times for each row. For rows in
bulk only the fields are looked at here; the tables' own constraints hold the rest.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeVar

from django.core.exceptions import ValidationError
from django.db import models
from simple_history.utils import (
    bulk_create_with_history,
    bulk_update_with_history,
)

from maintenance.services.errors import ServiceError

_Row = TypeVar("_Row", bound=models.Model)


@dataclass(frozen=True, slots=True)
class Act:
    """Who changes something, and when."""

    actor: str
    now: datetime

    @property
    def entry(self) -> dict[str, Any]:
        """Return what the history keeps of this act."""
        return {
            "default_date": self.now,
            "custom_historical_attrs": {"actor": self.actor},
        }


def add_rows(model: type[_Row], rows: Sequence[_Row], act: Act) -> None:
    """Add rows, and one entry of the history for each."""
    if rows:
        _look_at(rows)
        bulk_create_with_history(rows, model, **act.entry)


def change_rows(
    model: type[_Row], rows: Sequence[_Row], fields: Iterable[str], act: Act
) -> None:
    """Change columns of rows, and add one entry of the history for each row."""
    if rows:
        _look_at(rows)
        bulk_update_with_history(rows, model, list(fields), **act.entry)


def _look_at(rows: Sequence[models.Model]) -> None:
    columns = rows[0]._meta.concrete_fields  # noqa: SLF001  (public all the same)
    foreign = {column.name for column in columns if column.is_relation}
    for row in rows:
        try:
            row.clean_fields(exclude=foreign)
        except ValidationError as fault:
            raise ServiceError(_sentence(row, fault)) from fault


def _sentence(row: models.Model, fault: ValidationError) -> str:
    column, (text, *_) = next(iter(fault.message_dict.items()))
    kind = row._meta.verbose_name  # noqa: SLF001  (public all the same)
    where = f"{kind} {str(row)!a}"
    return f"{where}: its {column} {text[:1].lower()}{text[1:]}"

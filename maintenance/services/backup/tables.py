"""Which tables a backup holds, and their values as plain ones."""

import base64
from collections.abc import Callable, Iterator, Sequence
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any, Final, cast
from uuid import UUID

from django.apps.registry import Apps
from django.db import models
from django.utils.duration import duration_iso_string

Model = type[models.Model]

LEFT_OUT: Final = frozenset(
    {"django_migrations", "django_session", "maintenance_held", "sqlite_sequence"}
)
"""Told elsewhere, or of the moment: a session in a stolen backup would open a door."""


def kept_models(apps: Apps) -> list[Model]:
    """Return a model for each table that is kept, those between others too."""
    found = {}
    for model in apps.get_models(include_auto_created=True, include_swapped=False):
        about = model._meta  # noqa: SLF001  (public all the same)
        if about.managed and not about.proxy and about.db_table not in LEFT_OUT:
            found[about.db_table] = model
    return [found[name] for name in sorted(found)]


def table_of(model: Model) -> str:
    """Return the name of the table of a model."""
    return model._meta.db_table  # noqa: SLF001  (public all the same)


def fields_of(model: Model) -> Sequence["models.Field[Any, Any]"]:
    """Return the fields that are columns of the table itself."""
    fields = model._meta.local_concrete_fields  # noqa: SLF001  (public all the same)
    return cast("Sequence[models.Field[Any, Any]]", fields)


def number_of(model: Model) -> str | None:
    """Return the column that the database numbers, None where it numbers none."""
    key = model._meta.pk  # noqa: SLF001  (public all the same)
    return str(key.column) if isinstance(key, models.AutoField) else None


_PLAIN: Final[tuple[tuple[type | tuple[type, ...], Callable[[Any], Any]], ...]] = (
    ((datetime, date, time), lambda value: value.isoformat()),
    (timedelta, duration_iso_string),
    ((Decimal, UUID), str),
    ((bytes, memoryview), lambda value: base64.b64encode(bytes(value)).decode("ascii")),
)


def plain(value: Any) -> Any:
    """Return a column's value as JSON has it."""
    for kind, written in _PLAIN:
        if isinstance(value, kind):
            return written(value)
    return value


def rows_of(model: Model, *, alias: str, at_once: int = 2000) -> Iterator[list[Any]]:
    """Yield the rows in the order of their keys, values plain."""
    names = [field.attname for field in fields_of(model)]
    whole: models.QuerySet[models.Model] = models.QuerySet(model, using=alias)
    every = whole.order_by("pk").values_list(*names)
    for row in every.iterator(chunk_size=at_once):
        yield [plain(value) for value in row]

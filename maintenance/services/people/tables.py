"""All tables of an account, found from the models themselves, with their history."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from django.apps import apps
from django.db import models

from maintenance.models import Account

NAMES: Final = ("who", "actor", "worker")


@dataclass(frozen=True, slots=True)
class Table:
    """The rows of an account in one table, and the table itself."""

    model: type[models.Model]
    rows: models.QuerySet[Any]
    history: models.QuerySet[Any] | None

    @property
    def name(self) -> str:
        """Return a name for a file."""
        return str(self.model._meta.model_name)  # noqa: SLF001  (public all the same)

    @property
    def name_columns(self) -> list[str]:
        """Return the columns that hold a person's name: those of `NAMES`, and ``*_by``.

        This is the rule by which a column is named, so that a new table is found too.
        """
        return _name_columns(self.model)


def tables_of(account: Account) -> Iterator[Table]:
    """Give every table that holds something of an account."""
    for model in apps.get_app_config("maintenance").get_models():
        rows = _rows(model, account)
        if rows is None:
            continue
        rows = rows.order_by("pk")
        kept: Any = getattr(model, "history", None)
        history = None
        if kept is not None:
            history = kept.filter(id__in=rows.order_by().values("pk"))
            history = history.order_by("history_id")
        yield Table(model, rows, history)


def _rows(model: type[models.Model], account: Account) -> models.QuerySet[Any] | None:
    """Return an account's rows; None for a table that is nobody's, and for histories.

    A table that tells no account itself belongs to the row that it points to.
    """
    manager: Any = model._default_manager  # noqa: SLF001  (public all the same)
    if model is Account:
        return manager.filter(pk=account.pk)  # type: ignore[no-any-return]
    if hasattr(manager, "for_account"):
        return manager.for_account(account)  # type: ignore[no-any-return]
    if hasattr(model, "history_object"):
        return None  # found beside its table
    for column in model._meta.concrete_fields:  # noqa: SLF001
        over: Any = column.related_model
        if over and hasattr(over._default_manager, "for_account"):  # noqa: SLF001
            rows = over._default_manager.for_account(account)  # noqa: SLF001
            return manager.filter(**{f"{column.name}__in": rows})  # type: ignore[no-any-return]
    return None


def name_columns_of(rows: models.QuerySet[Any]) -> list[str]:
    """Return the columns of these rows that hold a person's name."""
    return _name_columns(rows.model)


def _name_columns(model: type[models.Model]) -> list[str]:
    return [
        column.name
        for column in model._meta.concrete_fields  # noqa: SLF001
        if isinstance(column, models.CharField | models.TextField)
        and (column.name in NAMES or column.name.endswith("_by"))
    ]

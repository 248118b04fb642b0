"""One who sees some sites only meets no row of another, whatever table is asked."""

from typing import Any

import pytest
from django.core.exceptions import EmptyResultSet

from maintenance.models import Account, Site
from maintenance.services.people.tables import Table, tables_of

# Their site may be empty, for what belongs to none: that too a customer does not meet.
AT_A_SITE_OR_NONE = ("obligation", "message", "deliverytry", "feedlink")


def _leads_to_a_site(model: Any, seen: tuple[Any, ...] = ()) -> bool:
    if model is Site:
        return True
    return any(
        _leads_to_a_site(column.related_model, (*seen, model))
        for column in model._meta.concrete_fields
        if column.related_model and not column.null
        if column.related_model not in (*seen, model)
    )


def _tables() -> list[Table]:
    account = Account(pk=1)
    account.site_keys = frozenset()
    return list(tables_of(account))


@pytest.mark.parametrize("table", _tables(), ids=lambda table: str(table.name))
def test_of_no_site_there_are_no_rows(table: Table) -> None:
    held_too = table.name in AT_A_SITE_OR_NONE
    if not held_too and not _leads_to_a_site(table.model):
        assert "FROM" in str(table.rows.query)  # of the account as a whole
        return
    # Django knows without asking that nothing can be found.
    with pytest.raises(EmptyResultSet):
        str(table.rows.query)


def test_both_sorts_of_tables_are_met() -> None:
    leading = [table for table in _tables() if _leads_to_a_site(table.model)]
    assert 25 < len(leading) < len(_tables()) - 5

"""Columns that this application needs beside Django's own."""

import json
from typing import TYPE_CHECKING, Any, Final

from django.core.exceptions import ValidationError
from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper

if TYPE_CHECKING:
    _Field = models.Field[dict[str, Any], dict[str, Any]]
else:
    _Field = models.Field  # at run time it takes no type

# An id or a name longer than this is a mistake, and PostgreSQL's index is limited.
KEY_LENGTH: Final = 200


def refuse_unstorable(text: str) -> None:
    """Refuse what one of the two databases cannot keep: NUL and half characters."""
    if "\x00" in text or any("\ud800" <= letter <= "\udfff" for letter in text):
        raise ValidationError(
            "holds a character that cannot be stored; write it again without it"
        )


class RecordField(_Field):
    """A record as entered, kept as JSON text.

    Text and not the databases' own JSON: those sort the keys, and rewrite numbers
    (``-0.0``, ``1e22``), so that a site would not leave as it came. As all of it is
    ASCII, any text that a file can hold can be kept.
    """

    def get_internal_type(self) -> str:
        """Return the column's kind."""
        return "TextField"

    def from_db_value(
        self,
        value: str | None,
        _expression: object,
        _connection: BaseDatabaseWrapper,
    ) -> dict[str, Any] | None:
        """Read the text that the database gives."""
        return None if value is None else self.to_python(value)

    def to_python(self, value: Any) -> dict[str, Any]:
        """Return the record, whether it is still text or not."""
        read: dict[str, Any] = json.loads(value) if isinstance(value, str) else value
        return read

    def get_prep_value(self, value: dict[str, Any] | None) -> str | None:
        """Write the record as the database keeps it."""
        return None if value is None else record_text(value)


def record_text(record: dict[str, Any]) -> str:
    """Write a record as it is kept; two records are the same if their texts are."""
    return json.dumps(record, allow_nan=False)

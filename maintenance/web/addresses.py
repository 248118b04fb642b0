"""Ids in addresses: any text that a site file may hold, a slash included."""

import re
from typing import Final
from urllib.parse import quote

from django.urls import register_converter
from django.urls.converters import IntConverter

_WRITTEN: Final = re.compile("~([0-9A-F]{2})")
# Pieces of addresses of our own, which an id must not be taken for.
_WORDS: Final = frozenset({"add", "new"})


class IdConverter:
    """An id as one piece of an address; `register_ids` makes it known as ``id``."""

    regex = "[^/]+"

    def to_python(self, value: str) -> str:
        """Return the id that stands in an address."""
        return _WRITTEN.sub(lambda match: chr(int(match[1], 16)), value)

    def to_url(self, value: str) -> str:
        """Write an id so that browsers and servers leave it whole."""
        text = str(value)
        plain = text.replace("~", _written("~")).replace("/", _written("/"))
        # Browsers walk up at "." and "..".
        if not text.strip(".") or text in _WORDS:
            return _written(plain[:1]) + plain[1:].replace(".", _written("."))
        return plain


class NumberConverter(IntConverter):
    """A number that any database can look for; `register_ids` makes it ``number``."""

    regex = "[0-9]{1,18}"


def _written(sign: str) -> str:
    return f"~{ord(sign):02X}"


def register_ids() -> None:
    """Make ``<id:…>`` and ``<number:…>`` known to the address table."""
    register_converter(IdConverter, "id")
    register_converter(NumberConverter, "number")


def in_query(text: str) -> str:
    """Return a text as it stands in the query of an address."""
    return quote(text, safe="")

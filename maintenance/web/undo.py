"""Undo of the last retirement, kept in the session of the browser that did it."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, cast

from django.http import HttpRequest

from maintenance.engine.site import Site
from maintenance.engine.site.changes import Part, Section
from maintenance.engine.site.record import from_record, to_record
from maintenance.engine.site.shapes import KindsShape, ListShape, fields_of

_SLOT: Final = "undo"


@dataclass(frozen=True, slots=True)
class Undo:
    """Parts that were retired together."""

    key: str
    parts: tuple[tuple[Section, Part], ...]

    @property
    def ids(self) -> str:
        """Their ids, in words."""
        return ", ".join(part.id for _section, part in self.parts)


def class_of(section: Section, kind: str) -> type[Part] | None:
    """Return the value type of a kind of part, None where there is no such kind."""
    shape = next(f.shape for f in fields_of(Site) if f.key == section)
    item = shape.item if isinstance(shape, ListShape) else None
    if isinstance(item, KindsShape):
        return cast("type[Part] | None", dict(item.kinds).get(kind))
    return cast("type[Part] | None", getattr(item, "cls", None))


def keep_undo(
    request: HttpRequest, key: str, parts: Iterable[tuple[Section, Part]]
) -> None:
    """Remember what was retired."""
    held = [[section, to_record(part)] for section, part in parts]
    request.session[_SLOT] = {"key": key, "parts": held}


def waiting_undo(request: HttpRequest, key: str) -> Undo | None:
    """Return what can be put back in this site."""
    held = request.session.get(_SLOT)
    if not held or held["key"] != key:
        return None
    parts: list[tuple[Section, Part]] = []
    for section, record in held["parts"]:
        cls = class_of(section, record.get("kind", ""))
        if cls is not None:
            parts.append((section, from_record(cls, record)))
    return Undo(key, tuple(parts))


def forget_undo(request: HttpRequest) -> None:
    """Forget it: it was put back, or something else was changed since."""
    request.session.pop(_SLOT, None)

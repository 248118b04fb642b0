"""Undo of the last retirement or laying out, kept in the session of its browser."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, cast

from django.http import HttpRequest

from maintenance.engine.site import Site, Zone
from maintenance.engine.site.changes import Part, Section
from maintenance.engine.site.record import from_record, to_record
from maintenance.engine.site.shapes import KindsShape, ListShape, fields_of

_SLOT: Final = "undo"


@dataclass(frozen=True, slots=True)
class Undo:
    """Parts that were retired together, or the one zone that was laid out.

    ``laid_out`` is then the version of the site that laying out gave.
    """

    key: str
    parts: tuple[tuple[Section, Part], ...]
    laid_out: int | None = None

    @property
    def zone(self) -> Zone | None:
        """The zone as it was before it was laid out."""
        before = self.parts[0][1] if self.laid_out is not None else None
        return before if isinstance(before, Zone) else None

    @property
    def said(self) -> str:
        """What was done, in words."""
        if self.zone:
            return (
                f"Zone {self.zone.id} is laid out part by part: its pipes and heads "
                "stand under Parts and can be changed one by one."
            )
        return f"Retired: {self._ids}."

    @property
    def done(self) -> str:
        """What undoing it did, in words."""
        if self.zone:
            return f"Zone {self.zone.id} is a straight run again."
        return f"Back again: {self._ids}."

    @property
    def _ids(self) -> str:
        return ", ".join(part.id for _section, part in self.parts)


def class_of(section: Section, kind: str) -> type[Part] | None:
    """Return the value type of a kind of part, None where there is no such kind."""
    shape = next(f.shape for f in fields_of(Site) if f.key == section)
    item = shape.item if isinstance(shape, ListShape) else None
    if isinstance(item, KindsShape):
        return cast("type[Part] | None", dict(item.kinds).get(kind))
    return cast("type[Part] | None", getattr(item, "cls", None))


def keep_undo(
    request: HttpRequest,
    key: str,
    parts: Iterable[tuple[Section, Part]],
    *,
    laid_out: int | None = None,
) -> None:
    """Remember what was retired, or which zone was laid out."""
    held = [[section, to_record(part)] for section, part in parts]
    request.session[_SLOT] = {"key": key, "parts": held, "laid_out": laid_out}


def waiting_undo(
    request: HttpRequest, key: str, *, version: int | None = None
) -> Undo | None:
    """Return what can be put back in this site.

    A zone is no more put back once the site has another version than the one given.
    """
    held = request.session.get(_SLOT)
    if not held or held["key"] != key:
        return None
    laid_out = held.get("laid_out")
    if laid_out is not None and version not in (None, laid_out):
        return None
    parts: list[tuple[Section, Part]] = []
    for section, record in held["parts"]:
        cls = class_of(section, record.get("kind", ""))
        if cls is not None:
            parts.append((section, from_record(cls, record)))
    return Undo(key, tuple(parts), laid_out)


def forget_undo(request: HttpRequest) -> None:
    """Forget it: it was put back, or something else was changed since."""
    request.session.pop(_SLOT, None)

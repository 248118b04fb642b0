"""Which backflow assembly stands at a link: a new serial is a new device."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from maintenance.engine.site import Backflow
from maintenance.models import Device, Link
from maintenance.services.inventory.columns import Columns, device_columns
from maintenance.services.inventory.rows import Act, add_rows, change_rows


@dataclass(slots=True)
class _Moves:
    removed: list[Device] = field(default_factory=list)
    changed: list[Device] = field(default_factory=list)
    added: list[Device] = field(default_factory=list)


def follow_links(
    rows: Iterable[Link], assemblies: Mapping[str, Backflow], *, act: Act
) -> None:
    """Set the devices right at links that were added, changed or retired.

    ``assemblies`` holds the links of this site that are assemblies, by id. At any
    other link no device stands.
    """
    links = {link.pk: link for link in rows}
    known: dict[int, list[Device]] = {pk: [] for pk in links}
    # Those of links that never carried an assembly are looked for in vain; one query.
    for device in Device.objects.filter(link__in=links).order_by("since", "pk"):
        known[device.link_id].append(device)
    moves = _Moves()
    for pk, link in links.items():
        _decide(link, known[pk], assemblies.get(link.key), moves, act)
    # Two devices never stand at one link, so that the old ones go first.
    change_rows(Device, moves.removed, ["until"], act)
    change_rows(
        Device,
        moves.changed,
        ["kind", "size", "serial", "installed", "until"],
        act,
    )
    add_rows(Device, moves.added, act)


def _decide(
    link: Link,
    known: list[Device],
    assembly: Backflow | None,
    moves: _Moves,
    act: Act,
) -> None:
    standing = next((device for device in known if device.until is None), None)
    columns = device_columns(assembly) if assembly else None
    meant = _meant(known, standing, columns) if columns else None
    if standing and standing is not meant:
        # A clock set back must not make a device end before it began.
        standing.until = max(act.now, standing.since)
        moves.removed.append(standing)
    if columns is None:
        return
    if meant is None:
        moves.added.append(
            Device(site_id=link.site_id, link=link, since=act.now, **columns)
        )
    elif meant.until is not None or any(
        getattr(meant, name) != value for name, value in columns.items()
    ):
        meant.until = None
        for name, value in columns.items():
            setattr(meant, name, value)
        moves.changed.append(meant)


def _meant(
    known: list[Device], standing: Device | None, columns: Columns
) -> Device | None:
    """Return the known device that the link's record describes, if any.

    A serial tells it, also when it stood here before. Else it is the one standing,
    if its kind is the same and not both serials are known; where none stands, the
    last that left, if it was of the same kind and had no serial either: so a link
    that was retired and comes back gets its device back.
    """
    serial, kind = columns["serial"], columns["kind"]
    if serial:
        for device in known:
            if device.serial == serial:
                return device
    candidate = standing or (known[-1] if known else None)
    if candidate is None or candidate.kind != kind:
        return None
    learnt = candidate is standing and not (candidate.serial and serial)
    returned = candidate is not standing and not (candidate.serial or serial)
    return candidate if learnt or returned else None

"""Steps of season lists that take an assembly out or put it back.

Whoever reports the step has told the register: the event stands and falls with the
report. A step only counts where it moves the assembly itself; one that covers it, or
sets its valves, does not.
"""

from collections.abc import Iterable
from typing import Final

from maintenance.models import AssemblyEvent, Device, SeasonList, StepRecord
from maintenance.services.backflow.assembly_rows import day_at
from maintenance.services.backflow.events import (
    MOVED,
    standing_events,
    undo_events,
)
from maintenance.services.inventory.rows import Act, add_rows

KIND_OF_POSITION: Final = {"removed": "removed", "in_place": "reinstalled"}
"""What an assembly's position in a list tells of it."""


def follow_steps(row: SeasonList, records: Iterable[StepRecord], act: Act) -> None:
    """Record what reports of a list tell of assemblies, each once."""
    moves = [
        (record, element, KIND_OF_POSITION[position])
        for record in records
        if record.outcome == "done"
        for element, position in record.step.record["changes"]
        if position in KIND_OF_POSITION
    ]
    if not moves:
        return
    keys = {element for _, element, _ in moves}
    standing = {
        device.link.key: device
        for device in Device.objects.filter(site=row.site_id, link__key__in=keys)
        .standing()
        .select_related("site", "link")
    }
    for record, element, kind in moves:
        if element in standing:
            _follow(standing[element], record, kind, act)


def _follow(device: Device, record: StepRecord, kind: str, act: Act) -> None:
    on = day_at(device.site, record.done_at)
    moved = [each for each in standing_events(device) if each.kind in MOVED]
    before = [each for each in moved if each.on <= on]
    if before and before[-1].kind == kind:
        return  # a person has told it already
    add_rows(
        AssemblyEvent,
        [
            AssemblyEvent(
                device=device,
                kind=kind,
                on=on,
                note=record.note,
                reported_by=record.who,
                reported_at=act.now,
                step_record=record,
            )
        ],
        act,
    )


def take_back_with(record: StepRecord, act: Act) -> None:
    """Take back what a report told of assemblies, since the report is taken back."""
    told = AssemblyEvent.objects.filter(step_record=record, undone_at=None)
    undo_events(list(told), act)

"""What a person states of an assembly beside the site file; nothing is overwritten."""

import math
from collections.abc import Callable
from dataclasses import asdict, dataclass, fields
from datetime import datetime
from typing import Final

from django.db import IntegrityError, transaction

from maintenance.engine.backflow.due.facts import Facts, Use, nominal_size_m
from maintenance.engine.backflow.due.plain_rules import PLAIN_WORDS, plain_rule
from maintenance.engine.backflow.readings import DEVICES
from maintenance.engine.calendar.regions import region_holidays
from maintenance.engine.errors import InputError
from maintenance.models import Account, AssemblyFacts, Device
from maintenance.models.assemblies import HAZARDS
from maintenance.services.backflow.assembly_rows import hold_assembly
from maintenance.services.backflow.rule_table import rule_table
from maintenance.services.errors import ConflictError
from maintenance.services.inventory.rows import Act, add_rows, change_rows

HIGHEST_M: Final = 100.0
MOST_MONTHS: Final = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedFacts:
    """What is stated of an assembly; empty and None are unknown."""

    hazard: str = ""
    protects: str = ""
    place: str = ""
    own_rule: str = ""
    region: str = ""
    residential: bool | None = None
    chemicals: bool | None = None
    months_used: int | None = None
    make: str = ""
    model: str = ""
    account_number: str = ""
    position: str = ""
    height_m: float | None = None
    safe_from_flooding: bool | None = None
    kept_from_freezing: bool | None = None
    oriented_properly: bool | None = None
    installed_properly: bool | None = None


_NAMES: Final = tuple(field.name for field in fields(StatedFacts))


def stated_facts(row: AssemblyFacts | None) -> StatedFacts:
    """Return what a row states; without one all is unknown."""
    if row is None:
        return StatedFacts()
    return StatedFacts(**{name: getattr(row, name) for name in _NAMES})


def facts_for_rules(device: Device, stated: StatedFacts) -> Facts:
    """Return an assembly as far as rules ask."""
    kind = next((each for each in DEVICES if each == device.kind), None)
    try:
        size_m = nominal_size_m(device.size)
    except InputError:
        size_m = None
    return Facts(
        kind=kind,
        hazard=stated.hazard or None,  # type: ignore[arg-type]
        size_m=size_m,
        use=Use(residential=stated.residential, chemicals=stated.chemicals),
        months_used=stated.months_used,
    )


@transaction.atomic
def store_facts(
    account: Account,
    *,
    device_id: int,
    stated: StatedFacts,
    version: int,
    now: datetime,
    actor: str,
) -> int:
    """Store what is stated of an assembly; return its version.

    Parameters
    ----------
    account : Account
        Whose assembly it is.
    device_id : int
        The assembly.
    stated : StatedFacts
        All that is stated from now on.
    version : int
        The version that was seen; 0 where nothing was stated yet.
    now, actor : datetime and str
        When, and by whom.

    Raises
    ------
    ConflictError
        If someone else stated something meanwhile.
    ServiceError
        If something cannot be so.
    """
    _look_at(stated)
    refuse_unknown_place(stated.place, {key for key, _ in rule_table(account).places})
    device = hold_assembly(account, device_id)
    row = AssemblyFacts.objects.filter(device=device).first()
    if version != (row.version if row else 0):
        raise _changed(device)
    act = Act(actor, now)
    if row is None:
        try:
            with transaction.atomic():
                row = AssemblyFacts(device=device, **asdict(stated))
                add_rows(AssemblyFacts, [row], act)
        except IntegrityError as twin:
            raise _changed(device) from twin
        return row.version
    if stated_facts(row) == stated:
        return row.version
    claimed = AssemblyFacts.objects.filter(pk=row.pk, version=version)
    if claimed.update(version=version + 1) != 1:
        raise _changed(device)
    row.version = version + 1
    for name in _NAMES:
        setattr(row, name, getattr(stated, name))
    change_rows(AssemblyFacts, [row], _NAMES, act)
    return row.version


def _look_at(stated: StatedFacts) -> None:
    for name, check in _CHECKS.items():
        fault = check(getattr(stated, name))
        if fault:
            raise InputError(f"{name.replace('_', ' ')}: {fault}", input=name)


def _hazard(text: str) -> str:
    known = not text or text in HAZARDS
    return "" if known else f'"{text[:40]}" is none of {", ".join(HAZARDS)}'


def _own_rule(text: str) -> str:
    if not text or plain_rule(text) is not None:
        return ""
    return f'"{text[:60]}" cannot be read; write one like {", ".join(PLAIN_WORDS)}'


def _region(text: str) -> str:
    if not text:
        return ""
    try:
        region_holidays(text)
    except InputError:
        return f'"{text[:40]}" is no region that is known; write one like US-CO'
    return ""


def _months(months: int | None) -> str:
    if months is None or 0 <= months <= MOST_MONTHS:
        return ""
    return f"{months} cannot be; a year has {MOST_MONTHS} months"


def _height(height_m: float | None) -> str:
    if height_m is None or (math.isfinite(height_m) and abs(height_m) <= HIGHEST_M):
        return ""
    return f"{height_m:g} m cannot be; write how far it stands above the floor"


_CHECKS: Final[dict[str, Callable[..., str]]] = {
    "hazard": _hazard,
    "own_rule": _own_rule,
    "region": _region,
    "months_used": _months,
    "height_m": _height,
}


def _changed(device: Device) -> ConflictError:
    return ConflictError(
        f'Someone else changed what is stated of assembly "{device.link.key}" since '
        "you opened it: open it again and make your change there."
    )


def refuse_unknown_place(place: str, known: set[str]) -> None:
    """Refuse a place that no rule names."""
    if place and place not in known:
        raise InputError(
            f'place: there are no rules of "{place[:60]}"; choose one of the list, or '
            "add a rule of that place first",
            input="place",
        )

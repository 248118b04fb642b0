"""What a test report holds: the union of the fields on public forms, in order.

Authorities want the same facts in an order of their own: an order is a tuple of keys.
Sources stand by group, as they were read together.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from types import MappingProxyType
from typing import Final

from maintenance.engine.errors import InputError

_IOWA = "Iowa City test report form, 9/02"
_WASHINGTON = "WAC 246-292-036"
_UTILITY = "test guidelines of a Washington water utility"
_NEW_YORK = "New York State form DOH-1013"
_TEXAS = "policy of a Texas city (ecode360.com/39979432)"
SOURCES: Final = MappingProxyType(
    {
        "Place": (_WASHINGTON, _NEW_YORK, _IOWA, _UTILITY),
        "Device": (_WASHINGTON, _IOWA),
        "Site": (_IOWA, _NEW_YORK),
        "Test": (_NEW_YORK, _IOWA),
        "Repair": (_NEW_YORK, _IOWA),
        "Retest": (_NEW_YORK, _IOWA),
        "Gauge": (_IOWA, _TEXAS),
        "Signatures": (_NEW_YORK,),
    }
)
"""Where the fields of each group were seen."""
GROUPS: Final = tuple(SOURCES)


@dataclass(frozen=True, slots=True)
class ReportField:
    """One field of a report: its group, its key and its words."""

    group: str
    key: str
    words: str

    @property
    def sources(self) -> tuple[str, ...]:
        """Where the fields of its group were seen [text]."""
        return SOURCES[self.group]


_READ: Final = (
    ("check_1", "check valve 1 (psid, or leaked)"),
    ("check_1_held", "check valve 1 held against back-pressure"),
    ("relief", "relief valve opening (psid, or did not open)"),
    ("check_2", "check valve 2 (psid, or leaked)"),
    ("check_2_held", "check valve 2 held against back-pressure"),
    ("buffer", "buffer: check valve 1 less relief valve opening (psid)"),
    ("air_inlet", "air inlet opening (psid, or did not open)"),
    ("fully_open", "air inlet fully open with the supply at the atmosphere"),
    ("supply_diameter", "air gap: diameter of the supply"),
    ("gap", "air gap: gap"),
    ("operating_properly", "inspection: operating properly"),
)
_DECLARED: Final = {
    "Place": (
        ("facility_name", "facility"),
        ("service_address", "service address"),
        ("owner_name", "owner or representative"),
        ("owner_contact", "contact"),
        ("account_number", "account or customer file number"),
        ("county", "county"),
        ("block", "block"),
        ("lot", "lot"),
        ("downstream_hazard", "hazard downstream"),
        ("device_location", "where the device is"),
    ),
    "Device": (
        ("device", "type"),
        ("manufacturer", "manufacturer"),
        ("model", "model"),
        ("size", "size"),
        ("serial", "serial number"),
        ("height_off_floor", "height off the floor"),
        ("installation", "new, existing or replacement"),
        ("replaced_serial", "serial number of the one replaced"),
        ("on_approved_list", "on the approved list"),
        ("orientation_proper", "orientation proper"),
        ("properly_installed", "installed properly"),
        ("relief_air_gap", "air gap under the relief valve proper"),
    ),
    "Site": (
        ("supply_pressure", "supply pressure (psi)"),
        ("protected_from_freezing", "protected from freezing"),
        ("protected_from_flooding", "protected from flooding"),
        ("meter_number", "meter number"),
        ("meter_reading", "meter reading"),
        ("service_type", "type of service"),
        ("bypasses", "bypasses or outlets before the device"),
    ),
    "Test": (
        ("test_year", "for the year"),
        ("tested_on", "date of test"),
        ("tested_at", "time of test"),
        ("criteria", "criteria: procedure and edition"),
        ("shut_off_2_holds", "shut-off 2 holds"),
        ("unable_because", "unable to test, because"),
        *((f"initial_{key}", f"initial test, {words}") for key, words in _READ),
        ("initial_result", "initial test, result"),
        ("comments", "comments"),
    ),
    "Repair": (
        ("repair_description", "repair"),
        ("repair_materials", "materials"),
        ("repaired_by", "repaired by"),
        ("repairer_licence", "licence number"),
        ("repaired_on", "date of repair"),
    ),
    "Retest": (
        ("retested_on", "date of final test"),
        ("retested_at", "time of final test"),
        *((f"final_{key}", f"final test, {words}") for key, words in _READ),
        ("final_result", "final test, result"),
    ),
    "Gauge": (
        ("gauge_make", "gauge make"),
        ("gauge_serial", "gauge serial number"),
        ("gauge_calibrated_on", "date of calibration or accuracy check"),
    ),
    "Signatures": (
        ("tester_name", "tester, printed name"),
        ("tester_certificate", "certificate number"),
        ("tester_certificate_ends", "certificate ends"),
        ("tester_signature", "tester's signature"),
        ("tester_signed_on", "date signed by the tester"),
        ("owner_signature", "signature of owner or agent"),
        ("owner_signed_on", "date signed by owner or agent"),
    ),
}

REPORT_FIELDS: Final = tuple(
    ReportField(group, key, words)
    for group in GROUPS
    for key, words in _DECLARED[group]
)
"""Every field in our own order."""
TAG_KEYS: Final = ("serial", "tested_on", "tester_name", "tester_certificate")
"""What a tag at the device shows (a Utah city's code; Minnesota Rules 4715.2161)."""


def in_order(order: Sequence[str] = ()) -> tuple[ReportField, ...]:
    """Put the fields into an authority's order.

    Parameters
    ----------
    order : sequence of str
        Keys to come first; those not named follow in our own order [text].

    Returns
    -------
    tuple of ReportField
        Every field once [fields].

    Raises
    ------
    InputError
        For a key that does not exist or is named twice.
    """
    fields = {field.key: field for field in REPORT_FIELDS}
    for place, key in enumerate(order):
        if key not in fields:
            near = get_close_matches(key, fields, n=1)
            mend = f"did you mean {near[0]}?" if near else "take it out"
            raise InputError(
                f'order: there is no field "{key[:40]}"; {mend}', input="order"
            )
        if key in order[:place]:
            raise InputError(
                f"order: {key} is named twice; name it once", input="order"
            )
    first = [fields[key] for key in order]
    return (*first, *(field for key, field in fields.items() if key not in order))

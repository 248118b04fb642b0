"""What the questions of a test sheet are called, beside its readings."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from maintenance.engine.backflow.report_fields import REPORT_FIELDS

_FIELDS: Final = {field.key: field.words for field in REPORT_FIELDS}

LABELS: Final[Mapping[str, str]] = MappingProxyType(
    {
        **{key: f"{words[:1].upper()}{words[1:]}" for key, words in _FIELDS.items()},
        "tested_on": "Day of the test",
        "tested_at": "Time",
        "retested_on": "Day of the test after repair",
        "retested_at": "Time",
        "supply_pressure": "Supply pressure",
        "shut_off_2_holds": "Shut-off 2 holds",
        "final_shut_off_2_holds": "Shut-off 2 holds",
        "unable_because": "Why the test could not be done",
        "repair_description": "What was repaired",
        "repair_materials": "Parts and materials",
        "repaired_by": "Repaired by",
        "repairer_licence": "Licence of who repaired",
        "repaired_on": "Day of the repair",
        "test_year": "For the year",
        "as_recorded_now": "Take place and assembly as they are recorded now",
        "comments": "Remarks",
    }
)
HELP: Final[Mapping[str, str]] = MappingProxyType(
    {
        "shut_off_2_holds": "If it leaks, the readings do not count: not tested.",
        "final_shut_off_2_holds": "If it leaks, the readings do not count: not tested.",
        "unable_because": "Such as: valve box under water, no access.",
        "retested_on": "May stay empty if it was the same day.",
        "supply_diameter": "Such as 3/4 in or 20 mm.",
        "gap": "Such as 1-1/2 in or 40 mm.",
        "facility_name": "The site’s name if left empty.",
        "test_year": "The year of the test if left empty.",
        "as_recorded_now": "Else they stay as they were at the test that is corrected.",
    }
)
CHOICES: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "installation": ("new", "existing", "replacement"),
        "on_approved_list": ("yes", "no"),
        "service_type": ("irrigation", "domestic", "fire"),
        "bypasses": ("none seen", "seen"),
    }
)
LONG: Final = frozenset(
    {"unable_because", "repair_description", "repair_materials", "comments"}
)

"""Roles, and what each of them may do."""

from collections.abc import Mapping
from typing import Final, Literal

Role = Literal["owner", "office", "technician", "tester", "reader", "customer"]
Permission = Literal[
    "see", "plan", "see_access", "record", "test", "arrange", "edit", "people"
]

ROLES: Final[tuple[Role, ...]] = (
    "owner",
    "office",
    "technician",
    "tester",
    "reader",
    "customer",
)

WHAT_FOR: Final[Mapping[Permission, str]] = {
    "see": "look at sites, their lists and what was recorded",
    "plan": "compute sheets, and see compressors and the whole season",
    "see_access": "see gate codes, keys and when nobody is there",
    "record": "carry out lists",
    "test": "record tests of backflow assemblies",
    "arrange": "open lists, compile them anew and enter them from paper",
    "edit": "enter and change sites and compressors",
    "people": "invite people, change what they may do, take everything out",
}
"""What a permission lets a person do, as the end of a sentence."""

MAY: Final[Mapping[Role, frozenset[Permission]]] = {
    "owner": frozenset(WHAT_FOR),
    "office": frozenset(WHAT_FOR) - {"people"},
    "technician": frozenset({"see", "plan", "see_access", "record"}),
    "tester": frozenset({"see", "plan", "see_access", "record", "test"}),
    "reader": frozenset({"see", "plan"}),
    # Of their own sites only: those that were granted.
    "customer": frozenset({"see", "see_access"}),
}

IN_WORDS: Final[Mapping[Role, str]] = {
    "owner": "Owner: everything, and the people",
    "office": "Office: sites, lists, tests",
    "technician": "Technician: carries out lists",
    "tester": "Tester: carries out lists, tests backflow assemblies",
    "reader": "Reader: looks, changes nothing, sees no gate codes",
    "customer": "Customer: looks at the sites granted to them",
}

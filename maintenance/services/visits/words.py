"""How calls, visits and findings are told in words."""

from collections.abc import Mapping
from typing import Final

KINDS: Final[Mapping[str, str]] = {
    "shutdown": "shutdown",
    "startup": "start-up",
    "backflow_test": "backflow test",
    "head_audit": "head audit",
    "repair": "repair",
    "other": "other",
}
STATES: Final[Mapping[str, str]] = {
    "planned": "planned",
    "under_way": "under way",
    "ended": "ended",
    "called_off": "called off",
}
OUTCOMES: Final[Mapping[str, str]] = {
    "done": "done",
    "partly": "partly done",
    "not_found": "not found",
    "refused": "refused",
    "done_by_others": "done by others",
    "no_access": "no access",
}
URGENCIES: Final[Mapping[str, str]] = {
    "today": "today",
    "within_days": "within days",
    "when_passing": "when passing",
}
STANDINGS: Final[Mapping[str, str]] = {
    "same": "the same again",
    "changed": "changed",
    "sold": "sold",
    "stopped": "stopped",
}
SEASONS: Final[Mapping[str, str]] = {"shutdown": "shutdown", "startup": "start-up"}

TO_GO_BACK: Final = ("partly", "not_found", "no_access")
"""A visit that ended so is not the end of the matter: somebody goes again."""
NEEDS_A_NOTE: Final = ("partly", "not_found", "refused", "no_access")
"""Whoever goes next, or is asked later, must know why."""

"""What can be due, in words."""

from typing import Final

KINDS: Final = {
    "backflow_test": "Backflow test",
    "backflow_report": "Report of a backflow test",
    "backflow_repair": "Repair after a failed test",
    "head_audit": "Audit of the heads",
    "shutdown_planning": "Plan the shutdown",
    "startup_planning": "Plan the start-up",
    "gauge_calibration": "Calibration of a test gauge",
    "certificate_renewal": "Renewal of a certificate",
    "promised_call": "Promised call",
    "custom": "Anything else",
}
"""Each kind of obligation with what people call it."""

FOUND: Final = tuple(kind for kind in KINDS if kind != "custom")
"""Kinds that are found from what is on record; the last is written by a person."""

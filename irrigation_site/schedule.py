"""When the tasks run, in code: one schedule, and two of them do no harm."""

from typing import Any, Final

MINUTE_S: Final = 60.0
EXPIRES_S: Final = 55.0
"""A nudge that waited for a minute is followed by the next: they never pile up."""

SCHEDULE: Final[dict[str, dict[str, Any]]] = {
    task: {"task": task, "schedule": MINUTE_S, "options": {"expires": EXPIRES_S}}
    for task in ("jobs.minute", "reminders.send")
}

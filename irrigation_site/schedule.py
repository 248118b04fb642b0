"""When the tasks run, in code: one schedule, and two of them do no harm."""

from typing import Any, Final

TASKS: Final = ("jobs.minute", "reminders.send")


def schedule(every_s: float) -> dict[str, dict[str, Any]]:
    """Return the schedule: each task once in so many seconds.

    A nudge that waited for that long is followed by the next: they never pile up.
    """
    return {
        task: {"task": task, "schedule": every_s, "options": {"expires": every_s}}
        for task in TASKS
    }

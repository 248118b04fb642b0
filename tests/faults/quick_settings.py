"""What a person runs, with short times: a fault shows in seconds and not in minutes."""

from irrigation_site.settings.base import *  # noqa: F403

JOB_LEASE_S = 2
BACKGROUND_EVERY_S = 2.0

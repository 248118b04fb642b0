"""The control: transactions that take the write lock only when they write."""

from irrigation_site.settings.base import *  # noqa: F403
from irrigation_site.settings.base import DATABASES

DATABASES["default"]["OPTIONS"]["transaction_mode"] = "DEFERRED"

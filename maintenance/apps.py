"""The one Django application."""

from django.apps import AppConfig


class MaintenanceConfig(AppConfig):
    """Registers the tables, templates and commands under the label ``maintenance``."""

    name = "maintenance"
    default_auto_field = "django.db.models.BigAutoField"
    verbose_name = "Irrigation maintenance"

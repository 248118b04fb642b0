"""Controllers: what opens the zone valves in summer."""

from django.db import models

from maintenance.models.history import kept_history
from maintenance.models.parts import Part, PartQuerySet


class Controller(Part):
    """A controller of a site."""

    stations = models.PositiveIntegerField(null=True, blank=True)

    objects = PartQuerySet["Controller"].as_manager()
    history = kept_history(but=("rank",))

"""Zones: what one valve waters."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from maintenance.models.history import kept_history
from maintenance.models.links import Link
from maintenance.models.parts import Part, PartQuerySet
from maintenance.models.points import Point


class Zone(Part):
    """A zone: it has a valve, or it is quick and starts at a point."""

    name = models.TextField(blank=True, default="")
    valve = models.ForeignKey(
        Link, models.PROTECT, null=True, blank=True, related_name="zones"
    )
    starts_at = models.ForeignKey(
        Point, models.PROTECT, null=True, blank=True, related_name="quick_zones"
    )
    area_m2 = models.FloatField(null=True, blank=True)

    objects = PartQuerySet["Zone"].as_manager()
    history = kept_history(but=("rank",))

    class Meta(Part.Meta):
        constraints: ClassVar[tuple[models.BaseConstraint, ...]] = (
            *Part.Meta.constraints,
            models.CheckConstraint(
                condition=Q(valve__isnull=False) | Q(starts_at__isnull=False),
                name="zone_has_valve_or_is_quick",
            ),
            models.CheckConstraint(
                condition=Q(area_m2=None) | Q(area_m2__gt=0),
                name="zone_area_is_positive",
            ),
        )

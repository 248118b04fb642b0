"""Points: where pipes meet, water enters or leaves, or air is let in."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from maintenance.models.history import kept_history
from maintenance.models.parts import Part, PartQuerySet


class Point(Part):
    """A point of a site."""

    kind = models.CharField(max_length=40)
    elevation_m = models.FloatField()
    position_east_m = models.FloatField(null=True, blank=True)
    position_north_m = models.FloatField(null=True, blank=True)

    objects = PartQuerySet["Point"].as_manager()
    history = kept_history(but=("rank",))

    class Meta(Part.Meta):
        constraints: ClassVar[tuple[models.BaseConstraint, ...]] = (
            *Part.Meta.constraints,
            models.CheckConstraint(
                condition=Q(position_east_m=None, position_north_m=None)
                | Q(position_east_m__isnull=False, position_north_m__isnull=False),
                name="point_position_is_whole",
            ),
        )

"""Links: the pipes, valves, assemblies, pumps and devices between two points."""

from typing import ClassVar

from django.db import models
from django.db.models import Q

from maintenance.models.history import kept_history
from maintenance.models.parts import Part, PartQuerySet
from maintenance.models.points import Point


class Link(Part):
    """A link of a site; ``length_m`` is a pipe's."""

    kind = models.CharField(max_length=40)
    from_point = models.ForeignKey(Point, models.PROTECT, related_name="links_from")
    to_point = models.ForeignKey(Point, models.PROTECT, related_name="links_to")
    length_m = models.FloatField(null=True, blank=True)

    objects = PartQuerySet["Link"].as_manager()
    history = kept_history(but=("rank",))

    class Meta(Part.Meta):
        constraints: ClassVar[tuple[models.BaseConstraint, ...]] = (
            *Part.Meta.constraints,
            models.CheckConstraint(
                condition=Q(length_m=None) | Q(length_m__gt=0),
                name="link_length_is_positive",
            ),
            models.CheckConstraint(
                condition=~Q(kind="pipe") | Q(length_m__isnull=False),
                name="link_pipe_has_length",
            ),
        )

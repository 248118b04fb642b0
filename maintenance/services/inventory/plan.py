"""What is to be done to the parts of a whole site, decided and then carried out."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, TypeVar

from maintenance.engine.site import Backflow, Site
from maintenance.models import Controller, Link, Point, Zone
from maintenance.models.sites import Site as SiteRow
from maintenance.services.inventory.columns import (
    Columns,
    controller_columns,
    link_columns,
    point_columns,
    zone_columns,
)
from maintenance.services.inventory.devices import follow_links
from maintenance.services.inventory.parts import (
    PartsPlan,
    Record,
    Wanted,
    apply_plan,
    plan_parts,
)
from maintenance.services.inventory.rows import Act

_Value = TypeVar("_Value", bound=Any)

PARTS = ("points", "links", "zones", "controllers")


@dataclass(frozen=True, slots=True)
class SitePlan:
    """What is to be done to each kind of part."""

    points: PartsPlan[Point]
    links: PartsPlan[Link]
    zones: PartsPlan[Zone]
    controllers: PartsPlan[Controller]

    def __iter__(self) -> Iterator[PartsPlan[Any]]:
        """Go through the kinds in the order of the file."""
        return iter((self.points, self.links, self.zones, self.controllers))

    @property
    def changed(self) -> tuple[str, ...]:
        """Return the ids of the parts that are added, changed or restored."""
        return tuple(key for plan in self for key in (*plan.added, *plan.changed))

    @property
    def retired(self) -> tuple[str, ...]:
        """Return the ids of the parts that are gone."""
        return tuple(key for plan in self for key in plan.retired)


def split_record(record: Record) -> tuple[Record, dict[str, list[Record]]]:
    """Return the site's own record, and the records of its parts.

    An empty list stays where parts were, so that the two can be put together.
    """
    own = {key: [] if key in PARTS else value for key, value in record.items()}
    return own, {name: record.get(name, []) for name in PARTS}


def join_record(own: Record, parts: dict[str, list[Record]]) -> Record:
    """Return the record of the whole site."""
    return own | {name: records for name, records in parts.items() if records}


def plan_site(
    site: Site, records: dict[str, list[Record]], row: SiteRow | None
) -> SitePlan:
    """Compare a site's parts with those that are kept, in four queries.

    None are kept where the site's row is new.
    """
    new = row is None or row.pk is None
    points, links, zones, controllers = (
        Point.objects.none() if new else Point.objects.filter(site=row),
        Link.objects.none() if new else Link.objects.filter(site=row),
        Zone.objects.none() if new else Zone.objects.filter(site=row),
        Controller.objects.none() if new else Controller.objects.filter(site=row),
    )
    return SitePlan(
        points=plan_parts(
            Point, points, _wanted(records["points"], site.points, point_columns)
        ),
        links=plan_parts(
            Link, links, _wanted(records["links"], site.links, link_columns)
        ),
        zones=plan_parts(
            Zone, zones, _wanted(records["zones"], site.zones, zone_columns)
        ),
        controllers=plan_parts(
            Controller,
            controllers,
            _wanted(records["controllers"], site.controllers, controller_columns),
        ),
    )


def apply_site_plan(plan: SitePlan, site: Site, row: SiteRow, act: Act) -> None:
    """Write what was decided: points before the links and zones that name them."""
    points = apply_plan(plan.points, site_id=row.pk, ends=_no_ends, act=act)

    def link_ends(record: Record) -> dict[str, int | None]:
        return {
            "from_point_id": points[record["from"]].pk,
            "to_point_id": points[record["to"]].pk,
        }

    links = apply_plan(plan.links, site_id=row.pk, ends=link_ends, act=act)

    def zone_ends(record: Record) -> dict[str, int | None]:
        quick = record.get("quick")
        return {
            "valve_id": links[record["valve"]].pk if "valve" in record else None,
            "starts_at_id": points[quick["from"]].pk if quick else None,
        }

    apply_plan(plan.zones, site_id=row.pk, ends=zone_ends, act=act)
    apply_plan(plan.controllers, site_id=row.pk, ends=_no_ends, act=act)
    touched = [links[key] for key in (*plan.links.added, *plan.links.changed)]
    touched += [plan.links.kept[key] for key in plan.links.retired]
    assemblies = {link.id: link for link in site.links if isinstance(link, Backflow)}
    if touched:
        follow_links(touched, assemblies, act=act)


def _no_ends(_record: Record) -> dict[str, int | None]:
    return {}


def _wanted(
    records: list[Record],
    values: Iterable[_Value],
    columns: Callable[[_Value], Columns],
) -> Iterator[Wanted]:
    for record, value in zip(records, values, strict=True):
        yield Wanted(key=value.id, record=record, columns=columns(value))

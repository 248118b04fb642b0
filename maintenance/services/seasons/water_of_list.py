"""Where water is left once a list is done as it stands: what is skipped counts."""

from maintenance.engine.blowout.sheet import Sheet
from maintenance.engine.network.graph import build_graph
from maintenance.engine.procedure.checker import CheckedProcedure
from maintenance.engine.procedure.water_left import WaterLeft, water_left
from maintenance.engine.site import Site
from maintenance.engine.site.card import site_from_card
from maintenance.models import Account
from maintenance.services.blowout import sheets_of
from maintenance.services.errors import NotFoundError
from maintenance.services.inventory import queries as inventory
from maintenance.services.seasons.choices import choices_from_record
from maintenance.services.seasons.kept_list import WholeList
from maintenance.services.weather.frost_depth import frost_depth_of


def sheet_of_list(account: Account, site: Site, whole: WholeList) -> Sheet | None:
    """Return the sheet of a list's compressor, in one query; None without air.

    A compressor that is no longer kept tells nothing.
    """
    if not whole.head.compressor:
        return None
    try:
        machine = inventory.compressor(account, key=whole.head.compressor)
    except NotFoundError:
        return None
    units = choices_from_record(whole.choices).units
    (sheet,) = sheets_of(site, [machine], units=units)
    return sheet


def water_of_list(
    account: Account,
    site: Site,
    whole: WholeList,
    checked: CheckedProcedure,
) -> WaterLeft:
    """Work out the map with the parts as the list leaves them, in two queries.

    The frost goes as deep as the record of the site's station tells.

    Parameters
    ----------
    account : Account
        Whose list it is.
    site : Site
        Its site, as it is now.
    whole : WholeList
        A shutdown list.
    checked : CheckedProcedure
        The list as `check_list` replayed it.
    """
    frost = frost_depth_of(account, site_key=site.id)
    blown = [step.row for step in whole.procedure.steps if step.act == "blow"]
    return water_left(
        build_graph(site_from_card(site)),
        checked.end.standing.positions,
        sheet=sheet_of_list(account, site, whole),
        done_rows=[row for row in blown if row],
        frost_depth_m=frost.depth_m if frost else None,
        units=choices_from_record(whole.choices).units,
    )

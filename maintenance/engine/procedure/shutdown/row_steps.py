"""A row of the sheet as a step: what it opens, its setting, its times."""

from maintenance.engine.blowout.make_sheet import CHANGE_OVER_S
from maintenance.engine.blowout.sheet import RowSheet
from maintenance.engine.procedure.elements import COMPRESSOR
from maintenance.engine.procedure.shutdown.given import Given
from maintenance.engine.procedure.shutdown.names import capital, zone_place
from maintenance.engine.procedure.shutdown.pressure import station
from maintenance.engine.procedure.shutdown.row_words import (
    done_words,
    row_minutes,
    setting_words,
    times_words,
)
from maintenance.engine.procedure.step import Change, Step

AIR_ON = Change(COMPRESSOR, "on")
AIR_OFF = Change(COMPRESSOR, "off")
Changes = tuple[Change, ...]


def outlet_of(given: Given, row: RowSheet) -> str:
    """Return the element that a row's air leaves by.

    Parameters
    ----------
    given : Given
        The site. [-]
    row : RowSheet
        The row. [-]

    Returns
    -------
    str
        A zone valve, or the end or coupler of a main; empty where it is no element. [-]
    """
    if row.row.kind == "zone":
        valves = [link for link in row.row.links if link in given.zones]
        return valves[-1] if valves else ""
    return row.row.to if row.row.to in given.piping.elements else ""


def opening_of(given: Given, row: RowSheet) -> Change:
    """Return the move that opens a row's outlet.

    Parameters
    ----------
    given : Given
        The site. [-]
    row : RowSheet
        A row with an outlet. [-]

    Returns
    -------
    Change
        A coupler takes its key, the rest is opened. [-]
    """
    outlet = outlet_of(given, row)
    coupler = given.piping.elements[outlet].kind == "quick_coupler"
    return Change(outlet, "key_in" if coupler else "open")


def from_controller(given: Given, row: RowSheet) -> bool:
    """Whether a row's zone is started from a controller.

    Parameters
    ----------
    given : Given
        The site. [-]
    row : RowSheet
        The row. [-]

    Returns
    -------
    bool
        False for mains and couplers. [-]
    """
    return row.row.kind == "zone" and not given.by_hand(outlet_of(given, row))


def trial(given: Given, row: RowSheet) -> Step:
    """Return a step that opens a row's outlet and blows it, to see what it breaks.

    Parameters
    ----------
    given : Given
        The site. [-]
    row : RowSheet
        A row with an outlet. [-]

    Returns
    -------
    Step
        All of the row in one. [-]
    """
    outlet = outlet_of(given, row)
    return Step(
        key=f"try {row.row.key}",
        act="blow",
        on=outlet,
        text="",
        changes=(opening_of(given, row),),
        during=(AIR_ON,),
        sees=(outlet,),
    )


def blown(given: Given, row: RowSheet, *, changes: Changes, during: Changes) -> Step:
    """Return the step that blows a row.

    Parameters
    ----------
    given : Given
        The site. [-]
    row : RowSheet
        The row. [-]
    changes : tuple of Change
        What is moved first: the change-over by the controller, or the air on to stay. [-]
    during : tuple of Change
        The air, where it goes off again at the end of the step. [-]

    Returns
    -------
    Step
        Setting, times, how to tell that it is done. [-]
    """
    outlet, units = outlet_of(given, row), given.units
    setting, times = setting_words(row, units), times_words(row)
    moved = {change.element for change in changes}
    start = f" {station(given, outlet)}." if outlet in moved else ""
    end = " Air off." if during else " Leave the air on."
    if outlet in moved:
        end = " Air off before the station ends."
        if any(each.rest_s for each in row.passes):
            end += " Start it again after a rest."
    name = place_of(given, row)
    air = f"Air on slowly at {setting}, see it pass"
    if not changes and not during:
        air = f"The air stays on at {setting}"
    return Step(
        key=f"blow {row.row.key}",
        act="blow",
        on=outlet,
        to=f"{setting}; {times}",
        text=f"{capital(name)}.{start} {air}: {times}.{done_words(row, units)}{end}",
        why=row.order_reason,
        cautions=_cautions(given, row),
        source="the blow-out sheet; order: common practice, no source",
        minutes=row_minutes(row, CHANGE_OVER_S),
        changes=changes,
        during=during,
        sees=(outlet,),
        row=row.row.key,
    )


def called(row: RowSheet) -> str:
    """Name a row within a sentence.

    Parameters
    ----------
    row : RowSheet
        The row. [-]

    Returns
    -------
    str
        For example ``zone 30`` or ``coupler Q3``. [-]
    """
    return f"{row.name[0].lower()}{row.name[1:]}"


def place_of(given: Given, row: RowSheet) -> str:
    """Name a row by its zone and box, or by the part that it leads to.

    Parameters
    ----------
    given : Given
        The site. [-]
    row : RowSheet
        The row. [-]

    Returns
    -------
    str
        For example ``zone 30, Top hedge (Z30, box 23)``. [-]
    """
    outlet = outlet_of(given, row)
    if outlet not in given.zones:
        return row.name
    return zone_place(given.zones[outlet], given.valves[outlet])


def _cautions(given: Given, row: RowSheet) -> tuple[str, ...]:
    found = list(row.cautions)
    if row.row.kind == "zone":
        note = given.zones[outlet_of(given, row)].note
        found = [note, *found] if note else found
    if row.verdict == "not_enough":
        found.append(row.verdict_text)
    return tuple(found)

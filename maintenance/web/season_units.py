"""The units of a season's list: those that its steps are written in."""

from maintenance.engine.units import UnitSystem
from maintenance.services.seasons.choices import choices_from_record
from maintenance.services.seasons.kept_list import WholeList


def units_of(whole: WholeList) -> UnitSystem:
    """Return the units of a list, whatever the browser shows elsewhere.

    A column in other units than the sentence beside it would be misread on site.
    """
    return choices_from_record(whole.choices).units

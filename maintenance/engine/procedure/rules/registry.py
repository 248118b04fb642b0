"""All rules, in the order of their keys."""

from typing import Final

from maintenance.engine.procedure.rules.air import AIR_WITH_OUTLET, FIT_FOR_AIR
from maintenance.engine.procedure.rules.drinking_water import (
    BREAKERS_FREE,
    FOREIGN_WATER,
    TWO_SOURCES,
)
from maintenance.engine.procedure.rules.ending import EMPTIED, IN_PLACE
from maintenance.engine.procedure.rules.holding import PROVED_TO_HOLD
from maintenance.engine.procedure.rules.openings import (
    FILLED_WITH_AIR_OUT,
    PUMP_WITH_A_WAY,
    RELIEVED_FIRST,
)
from maintenance.engine.procedure.rules.other_use import HOUSE_KEEPS_WATER
from maintenance.engine.procedure.rules.rule import Rule

RULES: Final[tuple[Rule, ...]] = (
    FOREIGN_WATER,
    TWO_SOURCES,
    BREAKERS_FREE,
    RELIEVED_FIRST,
    FILLED_WITH_AIR_OUT,
    FIT_FOR_AIR,
    AIR_WITH_OUTLET,
    PUMP_WITH_A_WAY,
    EMPTIED,
    IN_PLACE,
    PROVED_TO_HOLD,
    HOUSE_KEEPS_WATER,
)

"""How long the steps of a start-up take, walking and looking included.

Every figure is common practice, no source, unless its line says where it is from.
"""

from typing import Final

TURN: Final = 2.0
"""Shutting or opening one part [min]."""
LOOK: Final = 5.0
"""A look at one thing, or one question [min]."""
DIG: Final = 10.0
"""Digging a hole of 12 in [min]."""
CONTROLLER: Final = 10.0
REFIT: Final = 10.0
"""Putting back one part that was taken out [min]."""
PRIME: Final = 10.0
FILL_UNKNOWN: Final = 30.0
"""Allowed for a filling whose time cannot be worked out [min]."""
OPEN_SLOWLY: Final = 5.0
"""From a little open to fully open: at least five minutes, on contractors' pages [min]."""
SEAT: Final = 5.0
ARRANGE: Final = 5.0
"""Calling the tester; the test itself is the tester's time [min]."""
METER_WAIT: Final = 15.0
GAUGE_WAIT: Final = 60.0
PUMP_WAIT: Final = 60.0
ZONE_RUN: Final = 2.0
"""Each zone: Landscape Management, spring start-up checklist, 16 March 2016 [min]."""
ZONE_LOOK: Final = 3.0
"""Walking to a zone and round it [min]."""
STEP_ASIDE: Final = 1.0
